"""Set how long a parasite's life cycle takes at which temperature."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from itertools import pairwise
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person
from facility.refusals import Refusal
from quarantine.commands.stay_rules import ChoiceUnknown, StaysNotAdopted
from quarantine.models import LifeCycle
from quarantine.queries.stay_rules import stay_policy_row
from tanks.commands.finding import site_for
from tanks.commands.policies import SourceMissing
from tanks.models import Cycle


class CycleAgentMissing(Refusal):
    code = "cycle-agent-missing"
    field = "agent"


class CycleUnsound(Refusal):
    code = "cycle-unsound"
    field = "points"


class CyclesMissing(Refusal):
    code = "cycles-missing"
    field = "cycles"


@dataclass(frozen=True, slots=True, kw_only=True)
class CyclePoint:
    """One life cycle takes ``days`` at ``temperature_c``."""

    temperature_c: Decimal
    days: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SetLifeCycle:
    """Of one agent in one kind of water, from now on; ``cycles`` of them must pass.

    ``points`` run from cold to warm, and no warmer one is slower.
    """

    id: UUID
    site_id: UUID
    agent: str
    water_kind: str
    points: tuple[CyclePoint, ...]
    cycles: int
    source: str
    note: str = ""


@transaction.atomic(durable=True)
def set_life_cycle(command: SetLifeCycle, *, by: Person, at: datetime) -> LifeCycle:
    """Replace what was set for the same agent and water.

    Raises:
        NotFound, NotAllowed, IdTaken, StaysNotAdopted, CycleAgentMissing, ChoiceUnknown,
        CycleUnsound, CyclesMissing, SourceMissing
    """
    site = site_for(by, command.site_id, deed="quarantine.set-life-cycle")
    columns = _columns(command)
    if row := earlier(LifeCycle, command.id, columns):
        return row
    if stay_policy_row(site, at=at) is None:
        raise StaysNotAdopted(f"{site.name} goes by the shipped rules; adopt them first.")
    _require_sound(command)
    same = {name: columns[name] for name in ("agent", "water_kind")}
    ended = list(LifeCycle.objects.filter(site=site, period__contains=at, **same))
    for each in ended:
        each.period = DateTimeTZRange(each.period.lower, at)
        each.save(update_fields=["period"])
    row = LifeCycle.objects.create(**columns, period=DateTimeTZRange(at, None))
    ledger.record(
        "quarantine.set-life-cycle",
        [row, *ended],
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return row


def _columns(command: SetLifeCycle) -> dict[str, Any]:
    return {
        "id": command.id,
        "site_id": command.site_id,
        "agent": command.agent.strip(),
        "water_kind": command.water_kind,
        "points": [
            {"temperature_c": float(one.temperature_c), "days": float(one.days)}
            for one in command.points
        ],
        "cycles": command.cycles,
        "source": command.source.strip(),
        "note": command.note.strip(),
    }


def _require_sound(command: SetLifeCycle) -> None:
    if not command.agent.strip():
        raise CycleAgentMissing("Write the agent's scientific name.")
    if command.water_kind not in Cycle.WaterKind.values:
        raise ChoiceUnknown("water_kind")
    if not command.points or any(one.days <= 0 for one in command.points):
        raise CycleUnsound("Write at least one temperature with its days, such as 24: 4.")
    for cold, warm in pairwise(command.points):
        if warm.temperature_c <= cold.temperature_c or warm.days > cold.days:
            raise CycleUnsound("Go from cold to warm; a warmer water is never slower.")
    if command.cycles < 1:
        raise CyclesMissing("Write how many life cycles must pass, 1 or more.")
    if not command.source.strip():
        raise SourceMissing("Say where these figures come from, or that it is common practice.")
