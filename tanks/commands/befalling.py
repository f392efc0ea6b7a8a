"""What logging of anything that befell a water shares: delivery, checks, the ledger's line."""

from dataclasses import asdict
from datetime import datetime
from decimal import Decimal
from typing import Any, TypeVar

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Fact, Person
from tanks.commands.finding import require_in_use, vessel_for
from tanks.models import Vessel

FactT = TypeVar("FactT", bound=Fact)


def scaled(command: Any, steps: dict[str, Decimal]) -> dict[str, Any]:
    """Numbers as their columns hold them, so that a second delivery says the same."""
    columns = asdict(command)
    for name, step in steps.items():
        if columns[name] is not None:
            columns[name] = columns[name].quantize(step)
    return columns


def begin(
    model: type[FactT], columns: dict[str, Any], deed: str, *, by: Person, at: datetime
) -> tuple[Vessel, FactT | None]:
    """Return the vessel, and the row kept before if this was delivered before."""
    vessel = vessel_for(by, columns["vessel_id"], deed=deed)
    if row := earlier(model, columns["id"], columns):
        return vessel, row
    require_past(columns["happened_at"], at=at)
    require_in_use(vessel, at=columns["happened_at"])
    return vessel, None


def record(kind: str, row: Fact, vessel: Vessel, *, by: Person, at: datetime) -> None:
    when = row.happened_at
    ledger.record(
        kind, [row], about=vessel, site=vessel.site, by=by, happened_at=when, recorded_at=at
    )
