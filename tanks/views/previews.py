"""What a dose page shows before anything is kept: the working, and what stands in the way."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from facility.refusals import Refusal
from facility.rules.wording import written
from tanks.commands.allowing import policy_for, require_no_animals, require_under_cap
from tanks.commands.doses import LogDose, computed, contents
from tanks.commands.litres import net_litres, water_then
from tanks.commands.products import product_for
from tanks.forms.doses import NOT_MEASURED, DoseSheet
from tanks.models import Vessel
from tanks.queries.cycles import open_cycle_in
from tanks.queries.dosing import ammonia_known, given_of
from tanks.queries.readings import latest_in
from tanks.queries.waters import Water
from tanks.rules.buffering import buffered
from tanks.rules.dosing import canonical_rise, implied, same_effect
from tanks.rules.weighing import Weighing


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """``hindrance`` says why it will be refused; ``gives`` what the amount typed gives."""

    weighing: Weighing
    lines: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    hindrance: str
    gives: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Hindered:
    """Nothing can be computed, and why."""

    hindrance: str


Found: TypeAlias = Preview | Hindered | None


def preview(sheet: DoseSheet) -> Found:
    """Work out what the sheet asks for so far; None before it asks for anything."""
    draft = sheet.draft()
    if draft is None:
        return None
    try:
        water = water_then(sheet.vessel, at=draft.happened_at)
        weighing = _weighing(draft, sheet.vessel, water)
    except Refusal as refusal:
        return Hindered(hindrance=refusal.sentence)
    return Preview(
        weighing=weighing,
        lines=tuple(weighing.lines()),
        notes=(*weighing.notes(), *_notes(weighing, water)),
        hindrance=_hindrance(draft, weighing, water),
        gives=_gives(draft, weighing, water),
    )


def _weighing(draft: LogDose, vessel: Vessel, water: Water) -> Weighing:
    product = product_for(vessel.site, draft.product_id, at=draft.happened_at)
    return Weighing(
        purpose=draft.purpose,
        target=float(draft.target),
        unit=draft.target_unit,
        litres=float(net_litres(water)),
        contents=contents(product),
        amount=computed(draft, product=product, water=water),
    )


def _hindrance(draft: LogDose, weighing: Weighing, water: Water) -> str:
    """Say before anybody weighs anything what would be refused after."""
    try:
        require_no_animals(draft.purpose, water)
        if draft.purpose in same_effect("AMMONIA"):
            require_under_cap(water, dose_mg_l_n=_dose(draft, weighing))
    except Refusal as refusal:
        return refusal.sentence
    return ""


def _gives(draft: LogDose, weighing: Weighing, water: Water) -> str:
    if draft.amount == NOT_MEASURED:
        return ""
    amount = f"{written(draft.amount)} {weighing.amount.unit}"
    sentence = f"{amount} in {written(weighing.litres)} L is {weighing.gives(draft.amount)}."
    return " ".join([sentence, *_tan_after(draft, weighing, water)])


def _tan_after(draft: LogDose, weighing: Weighing, water: Water) -> Iterator[str]:
    if draft.purpose not in same_effect("AMMONIA"):
        return
    cycle = open_cycle_in(water)
    known = ammonia_known(water, cycle)
    if known.tan is not None and known.tan.high is not None:
        cap = written(policy_for(cycle, water).tan_cap_mg_l_n)
        after = known.tan.high + known.added_mg_l_n + _dose(draft, weighing)
        yield f"With what was read, TAN comes to at most {written(after)} mg/L-N; the cap is {cap}."


def _dose(draft: LogDose, weighing: Weighing) -> float:
    """What goes in: the amount measured out, or the target until there is one."""
    if draft.amount == NOT_MEASURED:
        return weighing.target
    measured = float(draft.amount)
    return implied(measured=measured, exact=weighing.amount.exact, target=weighing.target)


def _notes(weighing: Weighing, water: Water) -> Iterator[str]:
    if weighing.purpose != "ALKALINITY":
        return
    latest = latest_in(water)
    given, alkalinity = given_of(latest), latest.get("ALKALINITY")
    if given is None or alkalinity is None:
        yield "Whether ammonia is present is not known: read TAN, pH and temperature first."
        return
    rise = canonical_rise(purpose="ALKALINITY", target=weighing.target, unit=weighing.unit)
    found = buffered(given, alkalinity=alkalinity.interval, rise_meq_l=rise)
    if found is not None:
        yield found.sentence
