"""The chart of a start-up, drawn: SVG for the screen, PNG for paper."""

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from hashlib import sha256
from typing import Final

import vl_convert

from facility.rules.wording import written
from tanks.models import Dose, Forecast, Reading
from tanks.queries.cycles import Course, dosed_mg_l_n, pure_g
from tanks.queries.stories import standing
from tanks.rules.charting import Act, Drawing, Mark, Spec, Theme, spec
from tanks.rules.charting.drawing import PANELS
from tanks.rules.implied import implied_meq_l
from tanks.rules.outlooks import first_pass, outlooks

PAPER_WIDTH_PX: Final = 680
PAPER_SCALE: Final = 2.5
_LANES: Final = {
    Dose.Purpose.AMMONIA.value: "ammonia",
    Dose.Purpose.CHALLENGE.value: "challenge",
    Dose.Purpose.ALKALINITY.value: "alkalinity",
    Dose.Purpose.SALINITY.value: "salt",
    Dose.Purpose.DECHLORINATE.value: "dechlorinate",
}
# The line of now moves in quarters of an hour, so that a chart can be kept between two looks.
_QUARTER: Final = timedelta(minutes=15)
# How far beyond an old forecast its chart looks at least, and at most for want of a pass.
_AHEAD: Final = timedelta(days=14)
_FAR: Final = timedelta(days=42)


def drawing_of(told: Course, forecast: Forecast | None) -> Drawing:
    """Gather what the chart shows: facts now held true, and the forecast if there is one."""
    cycle, story = told.cycle, told.story
    facts = tuple(_acts(told))
    marks = tuple(_mark(row) for row in standing(story.readings) if row.parameter in PANELS)
    moments = [mark.at for mark in marks] + [act.at for act in facts]
    latest = max(moments, default=cycle.started_at)
    now = told.at - (told.at - cycle.started_at) % _QUARTER
    ahead = forecast if cycle.ended_at is None else None
    return Drawing(
        started_at=cycle.started_at,
        now=max(now, latest),
        zone=cycle.vessel.site.zone,
        marks=marks,
        acts=facts,
        limit_mg_l_n=told.terms.challenge_limit_mg_l_n,
        outlooks=outlooks(
            ahead.as_planned["bands"], started_at=cycle.started_at, from_h=ahead.case["now_h"]
        )
        if ahead
        else (),
        first_pass=first_pass(ahead.as_planned, started_at=cycle.started_at)
        if ahead and not told.is_certified
        else None,
    )


def kept_drawing_of(told: Course, forecast: Forecast, *, passed_at: datetime | None) -> Drawing:
    """Gather a forecast made some time ago, and what was read and done after it."""
    started_at = told.cycle.started_at
    made_at = started_at + timedelta(hours=forecast.case["now_h"])
    facts = drawing_of(told, None)
    until = max(made_at + _AHEAD, min(passed_at or told.at, made_at + _FAR) + timedelta(days=2))
    acts = (*facts.acts, *([Act(lane="passed", at=passed_at)] if passed_at else []))
    return replace(
        facts,
        now=made_at,
        now_word="forecast",
        until=until,
        marks=tuple(mark for mark in facts.marks if mark.at <= until),
        acts=tuple(act for act in acts if act.at <= until),
        outlooks=outlooks(
            forecast.as_planned["bands"], started_at=started_at, from_h=forecast.case["now_h"]
        ),
        first_pass=first_pass(forecast.as_planned, started_at=started_at),
    )


def digest_of(drawn: Spec) -> str:
    """Return what tells two charts apart."""
    return sha256(json.dumps(drawn, sort_keys=True).encode()).hexdigest()


def svg(drawn: Spec) -> str:
    """Render a specification; the same one gives the same text."""
    text: str = vl_convert.vegalite_to_svg(drawn)
    return text


def png(drawing: Drawing, *, width_px: int = PAPER_WIDTH_PX, theme: Theme = "light") -> bytes:
    """Render for paper: at its printed width of 170 mm, more than 200 pixels an inch."""
    drawn = spec(drawing, width_px=width_px, theme=theme)
    image: bytes = vl_convert.vegalite_to_png(drawn, scale=PAPER_SCALE)
    return image


def _mark(row: Reading) -> Mark:
    edges = row.interval
    return Mark(
        parameter=row.parameter,
        at=row.happened_at,
        qualifier=row.qualifier,
        low=edges.low,
        high=edges.high,
    )


def _acts(told: Course) -> Iterator[Act]:
    story = told.story
    for dose in standing(story.doses):
        yield Act(lane=_LANES[dose.purpose], at=dose.happened_at, amount=_effect(dose))
    for change in standing(story.water_changes):
        share = float(change.litres / change.water_litres)
        yield Act(lane="water change", at=change.happened_at, amount=f"{share * 100:.0f} %")
    for feeding in standing(story.feedings):
        yield Act(lane="feed", at=feeding.happened_at, amount=f"{written(feeding.grams)} g")
    for seeding in standing(story.seedings):
        amount = seeding.get_kind_display().lower()
        yield Act(lane="seeding", at=seeding.happened_at, amount=amount)
    for switch in standing(story.switches):
        amount = f"{switch.device.name} {'on' if switch.is_on else 'off'}"
        yield Act(lane="device", at=switch.happened_at, amount=amount)
    for incident in standing(story.incidents):
        amount = incident.kind.lower().replace("_", " ")
        yield Act(lane="incident", at=incident.happened_at, amount=amount)
    for certificate in standing(story.certificates):
        amount = f"{written(certificate.feed_g_per_day)} g/day"
        yield Act(lane="certificate", at=certificate.happened_at, amount=amount)


def _effect(dose: Dose) -> str:
    """What the amount really measured out did, in the unit people think in."""
    if dose.purpose in (Dose.Purpose.AMMONIA, Dose.Purpose.CHALLENGE):
        return f"{dosed_mg_l_n(dose):.2g} mg/L-N"
    litres = float(dose.water_litres)
    rise = implied_meq_l(substance=dose.product.substance, pure_g=pure_g(dose), volume_l=litres)
    return f"{rise:.2g} meq/L" if rise is not None else f"{written(dose.amount)} {dose.unit}"
