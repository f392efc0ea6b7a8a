"""The content of a week's report: what was read, what was due, and what was not covered."""

from collections import defaultdict
from typing import Final
from uuid import UUID

from facility.models import Site
from facility.rules.canonical import plain
from facility.rules.periods import Period
from facility.rules.wording import unit_and_basis, written
from tanks.models import Reading
from tanks.queries.coverage import Coverage, Covered, coverage
from tanks.queries.meanings import read_of, reading_text
from tanks.queries.periods import Content, Past, water_content
from tanks.queries.tests_due import tests_due
from tanks.rules.limits import NAMES
from tanks.rules.readings_told import spread
from tanks.rules.values import CANONICAL_UNITS, PARAMETERS

_SCALES: Final = {"NBS": "NBS scale", "TOTAL": "total scale"}


def week(site: Site, period: Period) -> Content:
    """As the facts about that week stand now, told as of its end."""
    past = Past(site=site, period=period)
    return {
        **past.head(),
        "readings": _readings(past),
        "tests": tests_due(past),
        "coverage": coverage_told(past),
        "exceedances": past.told(),
    }


def coverage_told(past: Past) -> Content:
    """What was not read in time by the end, each by name; nothing is averaged away."""
    found = coverage(past.site, at=past.last)
    return {
        "systems": len(found.systems),
        "untested": [_missing(one) for one in found.untested],
        **_rotation(found),
    }


def _readings(past: Past) -> list[Content]:
    """Each parameter of each water by its least, middle and greatest, in canonical units."""
    out = {
        (one.exceedance.parameter, look.reading)
        for one in past.exceedances
        for look in one.exceedance.looks
    }
    return [
        _row(str(anchor.pk), parameter, unit, mine, out)
        for anchor in past.anchors
        for (parameter, unit), mine in _series(past.readings.get(anchor, []))
    ]


def _series(rows: list[Reading]) -> list[tuple[tuple[str, str], list[Reading]]]:
    """What can be compared: one parameter, and of oxygen and pH one scale."""
    found: dict[tuple[str, str], list[Reading]] = defaultdict(list)
    for row in rows:
        found[row.parameter, _unit(row)].append(row)
    order = {name: place for place, name in enumerate(PARAMETERS)}
    return sorted(found.items(), key=lambda one: (order[one[0][0]], one[0][1]))


def _unit(row: Reading) -> str:
    if row.parameter == "PH":
        return _SCALES[row.basis]
    return "%" if row.unit == "%" else unit_and_basis(CANONICAL_UNITS[row.parameter])


def _row(
    water: str, parameter: str, unit: str, mine: list[Reading], out: set[tuple[str, UUID]]
) -> Content:
    told = spread(read_of(one).share or one.interval for one in mine)
    return {
        "water": water,
        "parameter": parameter,
        "name": NAMES[parameter],
        "unit": unit,
        "count": told.count,
        "least": told.least,
        "median": told.median,
        "greatest": told.greatest,
        "out": sum((parameter, one.pk) in out for one in mine),
        "last": reading_text(mine[-1]),
        "last_at": plain(mine[-1].happened_at),
    }


def _missing(one: Covered) -> Content:
    return {
        **water_content(one.water.anchor),
        "missing": [
            {"name": PARAMETERS[gap.parameter], "read_at": plain(gap.read_at)}
            for gap in one.missing
        ],
    }


def _rotation(found: Coverage) -> Content:
    turning = found.rotation
    return {
        "tanks": turning.tanks,
        "tested": turning.tested,
        "needed": turning.needed,
        "share_percent": written(found.share_percent),
        "turn_days": turning.turn_days,
        "behind": [
            {**water_content(one.water.anchor), "tested_at": plain(one.seen.tested_at)}
            for one in found.behind
        ],
    }
