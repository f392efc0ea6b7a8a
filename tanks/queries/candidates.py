"""What a challenge may begin with, and which readings may judge it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from facility.rules.wording import day_and_time
from tanks.models import Challenge, Dose, Reading
from tanks.queries.cycles import Course, dosed_mg_l_n, is_ammonia
from tanks.queries.measures import written
from tanks.queries.proofs import Tried, trial_of
from tanks.queries.stories import standing
from tanks.rules.proof import MIXED_AFTER, START_BEFORE, Judgement, ends_at, judge

# A little more than the rule accepts: whoever came late sees why it is no pass.
_AROUND: Final = timedelta(hours=6)
_MOST: Final = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """Readings to choose from, in words; ``first`` is the one the rule would rather have."""

    rows: tuple[tuple[UUID, str], ...]
    first: UUID | None


def challenge_doses(told: Course) -> tuple[tuple[UUID, str], ...]:
    """Return doses logged as a challenge that have begun none yet, newest first."""
    begun = {row.dose_id for row in told.story.challenges}
    rows = (
        dose
        for dose in reversed(standing(told.story.doses))
        if dose.purpose == Dose.Purpose.CHALLENGE and is_ammonia(dose) and dose.pk not in begun
    )
    return tuple((dose.pk, _dose_words(dose, told)) for dose in rows)


def unjudged(told: Course) -> list[Tried]:
    return [one for one in told.challenges if one.verdict is None]


def judging_readings(told: Course, challenge: Challenge) -> dict[str, Offered]:
    """Return the readings to choose from for ``start_id``, ``tan_id`` and ``nitrite_id``."""
    dosed_at = challenge.dose.happened_at
    due = ends_at(dosed_at, told.terms)
    rows = standing(told.story.readings)
    tans = [row for row in rows if row.parameter == Reading.Parameter.TAN]
    nitrites = [row for row in rows if row.parameter == Reading.Parameter.NITRITE]
    mixed = dosed_at + (MIXED_AFTER + START_BEFORE) / 2
    after = (row for row in tans if dosed_at <= row.happened_at <= dosed_at + _AROUND)
    return {
        "start_id": _offered(after, mixed, told),
        "tan_id": _offered(_about(tans, due), due, told),
        "nitrite_id": _offered(_about(nitrites, due), due, told),
    }


def judgement_of(
    told: Course, challenge: Challenge, *, start_id: UUID, tan_id: UUID, nitrite_id: UUID
) -> Judgement:
    """Return what the rule makes of a challenge with these readings, before anybody records it."""
    trial = trial_of(told.story, challenge, start_id=start_id, tan_id=tan_id, nitrite_id=nitrite_id)
    return judge(trial)


def _about(rows: Iterable[Reading], moment: datetime) -> list[Reading]:
    return [row for row in rows if abs(row.happened_at - moment) <= _AROUND]


def _offered(rows: Iterable[Reading], moment: datetime, told: Course) -> Offered:
    near = sorted(rows, key=lambda row: (abs(row.happened_at - moment), str(row.pk)))[:_MOST]
    known = sorted(near, key=lambda row: (row.happened_at, str(row.pk)))
    return Offered(
        rows=tuple((row.pk, _reading_words(row, told)) for row in known),
        first=near[0].pk if near else None,
    )


def _reading_words(row: Reading, told: Course) -> str:
    when = day_and_time(row.happened_at, zone=told.cycle.vessel.site.zone)
    return f"{written(row)}, {row.method.name}, {when}, {row.by.initials}"


def _dose_words(dose: Dose, told: Course) -> str:
    when = day_and_time(dose.happened_at, zone=told.cycle.vessel.site.zone)
    return f"{dosed_mg_l_n(dose):.3g} mg/L-N of {dose.product.name}, {when}, {dose.by.initials}"
