"""The site's limits with animals, as the gate holds readings against them."""

from collections.abc import Callable, Iterable
from datetime import datetime
from decimal import Decimal
from typing import Final

from facility.models import Site
from facility.rules.wording import unit_and_basis, written
from quarantine.rules.known import Edges
from tanks.models import Cycle, Limit
from tanks.queries.policies import limits_at
from tanks.rules.values import PARAMETERS, Interval, canonical, oxygen_in

# Level 3 is a usual range to look at, not one to keep animals out by.
_BINDING: Final = (1, 2)


def edges_with_animals(site: Site, cycle: Cycle, *, at: datetime) -> dict[str, Edges]:
    """Return, for each parameter, the strictest of the limits that ask for action."""
    rows = limits_at(site, at=at).filter(
        stage=Limit.Stage.STOCKED, water_kind=cycle.water_kind, level__in=_BINDING
    )
    groups: dict[str, list[Limit]] = {}
    for row in rows:
        if row.parameter in PARAMETERS:
            groups.setdefault(row.parameter, []).append(row)
    return {parameter: _edges(group, cycle) for parameter, group in groups.items()}


def _edges(rows: list[Limit], cycle: Cycle) -> Edges:
    low, lowest = _strictest(rows, lambda row: row.low, cycle, best=max)
    high, highest = _strictest(rows, lambda row: row.high, cycle, best=min)
    binding = list(dict.fromkeys(row for row in (lowest, highest) if row))
    parts = [f"at least {_text(lowest, lowest.low)}"] if lowest else []
    parts += [f"at most {_text(highest, highest.high)}"] if highest else []
    return Edges(
        low=low,
        high=high,
        told=f"the site's limit of {' and '.join(parts)}",
        sources=tuple(_source(row) for row in binding),
    )


def _strictest(
    rows: Iterable[Limit],
    edge_of: Callable[[Limit], Decimal | None],
    cycle: Cycle,
    *,
    best: Callable[[list[float]], float],
) -> tuple[float | None, Limit | None]:
    found = [(_canonical(row, edge, cycle), row) for row in rows if (edge := edge_of(row))]
    if not found:
        return None, None
    strictest = best([edge for edge, _ in found])
    return next((edge, row) for edge, row in found if edge == strictest)


def _canonical(row: Limit, edge: Decimal, cycle: Cycle) -> float:
    if row.unit == "%":
        share = Interval(float(edge), float(edge))
        return oxygen_in(
            share,
            temperature_c=float(cycle.stocking_temperature_c),
            salinity_g_kg=float(cycle.stocking_salinity_g_kg),
        ).low
    return canonical(row.parameter, "EQUAL", edge, None, row.unit, row.basis).low


def _text(row: Limit, edge: Decimal | None) -> str:
    unit = "" if row.unit == "pH" else f" {unit_and_basis(row.unit, row.basis)}"
    return f"{written(edge)}{unit}"


def _source(row: Limit) -> str:
    parts = [row.source, row.edition, row.jurisdiction]
    mark = "" if row.is_verified else " (not verified)"
    return f"Limit: {', '.join(part for part in parts if part)}{mark}"
