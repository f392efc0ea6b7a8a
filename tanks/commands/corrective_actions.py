"""Say what was done about a reading out of range; the water is read again until it is inside."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Final
from uuid import UUID, uuid5

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.commands.work import RaiseTask, added_task
from facility.models import Person, Task
from facility.refusals import NotFound, Refusal
from tanks.commands.finding import vessel_for
from tanks.models import CorrectiveAction, Reading, Vessel
from tanks.queries.exceedances import Open, open_in_waters, raised_by
from tanks.queries.judging import asked, looks_around, standing
from tanks.queries.waters import water_of
from tanks.rules.corrective_actions import ACTIONS, MINUTES, NEEDS_NOTE, window
from tanks.rules.exceedances import OUT, Look, retested_by
from tanks.rules.limits import INSIDE

_LONGEST_TITLE: Final = 160
_LONGEST_WHY: Final = 300


class UnknownAction(Refusal):
    code = "unknown-action"
    field = "action"


class NoteMissing(Refusal):
    code = "note-missing"
    field = "note"


class NotOutOfRange(Refusal):
    code = "not-out-of-range"
    field = "reading_id"


class ActedBeforeRead(Refusal):
    code = "acted-before-read"
    field = "happened_at"


@dataclass(frozen=True, slots=True, kw_only=True)
class ActOnReading:
    """``action`` is one of the offered acts by its code, ``note`` one's own words."""

    id: UUID
    reading_id: UUID
    action: str
    note: str
    happened_at: datetime


@transaction.atomic(durable=True)
def act_on_reading(command: ActOnReading, *, by: Person, at: datetime) -> CorrectiveAction:
    """Keep what was done, and ask for a retest while the reading is open and none is asked for.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, UnknownAction, NoteMissing, NotOutOfRange,
        ActedBeforeRead
    """
    first = Reading.objects.filter(pk=command.reading_id).first()
    if first is None:
        raise NotFound("There is no such reading here.")
    vessel = vessel_for(by, first.vessel_id, deed="tanks.act-on-reading")
    said = asdict(command) | {"note": command.note.strip()}
    if delivered := earlier(CorrectiveAction, command.id, said):
        return delivered
    require_past(command.happened_at, at=at)
    _require_words(command)
    if command.happened_at < _minute(first.happened_at):
        raise ActedBeforeRead("What is done about a reading comes after it; give a later time.")
    broken = _broken(first)
    action = CorrectiveAction.objects.create(**said, recorded_at=at, by=by)
    retest = _retest(action, broken, vessel, at=at)
    ledger.record(
        "tanks.act-on-reading",
        [action, *retest],
        about=vessel,
        site=vessel.site,
        by=by,
        happened_at=command.happened_at,
        recorded_at=at,
    )
    return action


def _require_words(command: ActOnReading) -> None:
    if command.action not in ACTIONS:
        raise UnknownAction("Choose what was done.")
    if command.action in NEEDS_NOTE and not command.note.strip():
        raise NoteMissing("Say in a few words what else was done.")


def _broken(first: Reading) -> list[Look]:
    """What the reading, as it stands now, breaks."""
    now = standing(first.pk)
    seen = looks_around(now, until=now.happened_at) if now else []
    broken = [look for look in seen if now and look.reading == now.pk and look.state == OUT]
    if not broken:
        raise NotOutOfRange("This reading is inside the limits of its water; nothing is open.")
    return broken


def _retest(
    action: CorrectiveAction, broken: Sequence[Look], vessel: Vessel, *, at: datetime
) -> list[Task]:
    """One, unless the water has passed since or its retest is asked for and not answered."""
    now = max(at, action.happened_at)
    left = [one for one in open_in_waters([water_of(vessel, at=now)]) if _is_of(one, broken)]
    if not left or any(one.next_retest for one in left):
        return []
    parameters = [one.told.exceedance.parameter for one in left]
    span = window(min(one.told.exceedance.level for one in left))
    # Sheets give the minute a reading was taken in: one of the same minute may be the retest.
    opens_at = _minute(action.happened_at)
    due_at = opens_at + span.due_after
    names = " and ".join(INSIDE[name] for name in retested_by(parameters))
    return [
        added_task(
            RaiseTask(
                id=uuid5(action.pk, "retest"),
                site_id=vessel.site_id,
                kind="RETEST",
                title=f"Read {names} of {vessel.name or vessel.code} again"[:_LONGEST_TITLE],
                why=_why(left)[:_LONGEST_WHY],
                about=f"tanks.vessel:{vessel.pk}",
                opens_at=opens_at,
                due_at=due_at,
                late_at=due_at + span.late_after,
                minutes=MINUTES,
                asks=asked(action.reading, parameters),
                raised_by=raised_by(action),
            ),
            site=vessel.site,
            at=at,
        )
    ]


def _minute(moment: datetime) -> datetime:
    return moment.replace(second=0, microsecond=0)


def _is_of(one: Open, broken: Sequence[Look]) -> bool:
    looks = {(look.parameter, look.reading) for look in one.told.exceedance.looks}
    return not looks.isdisjoint((look.parameter, look.reading) for look in broken)


def _why(left: Sequence[Open]) -> str:
    found = " ".join(one.told.exceedance.last.finding.sentence for one in left)
    return f"{found} Open until it reads inside the limit."
