"""Test coverage of a site: its systems one by one, and the rotation of tanks by themselves."""

from dataclasses import dataclass
from datetime import datetime

from facility.models import Site
from tanks.models import Reading, Vessel
from tanks.queries.policies import policy_at
from tanks.queries.readings import latest_in_waters
from tanks.queries.waters import Water, waters
from tanks.rules.coverage import (
    EVERY,
    USUAL_SHARE_PERCENT,
    Missing,
    Rotation,
    Seen,
    missing,
    next_in_turn,
    rotation,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Covered:
    """A water and what of it was not read in time; ``latest`` is by parameter."""

    water: Water
    seen: Seen
    latest: dict[str, Reading]
    missing: tuple[Missing, ...]

    @property
    def cells(self) -> list[tuple[str, Reading | None, bool]]:
        """Each parameter with its latest reading and whether that is in time."""
        late = {one.parameter for one in self.missing}
        return [(name, self.latest.get(name), name not in late) for name in EVERY]


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """``behind`` are tanks a turn has passed by; ``turn`` those whose turn it is next."""

    site: Site
    at: datetime
    systems: tuple[Covered, ...]
    rotation: Rotation
    share_percent: float
    behind: tuple[Covered, ...]
    turn: tuple[Covered, ...]
    lone: tuple[Covered, ...]

    @property
    def untested(self) -> tuple[Covered, ...]:
        return tuple(one for one in self.systems if one.missing)


def coverage(site: Site, *, at: datetime) -> Coverage:
    """What was tested by that moment, in a number of queries that does not grow with the tanks."""
    found = waters(site, at=at)
    latest = latest_in_waters(found)
    covered = [_covered(water, latest.get(water.anchor.pk, {}), at) for water in found]
    lone = [one for one in covered if one.water.anchor.kind != Vessel.Kind.SYSTEM]
    policy = policy_at(site, at=at)
    share = float(policy.tested_share_percent) if policy else USUAL_SHARE_PERCENT
    turning = rotation((one.seen for one in lone), share_percent=share, at=at)
    by_key = {one.seen.key: one for one in lone}
    owed = max(0, turning.needed - turning.tested)
    return Coverage(
        site=site,
        at=at,
        systems=tuple(one for one in covered if one not in lone),
        rotation=turning,
        share_percent=share,
        behind=tuple(by_key[tank.key] for tank in turning.behind),
        turn=tuple(by_key[tank.key] for tank in next_in_turn((o.seen for o in lone), owed)),
        lone=tuple(lone),
    )


def _covered(water: Water, latest: dict[str, Reading], at: datetime) -> Covered:
    read_at = {name: reading.happened_at for name, reading in latest.items()}
    # Codes are one of a kind at a site, and give the order people expect.
    seen = Seen(key=water.anchor.code, read_at=read_at)
    return Covered(water=water, seen=seen, latest=latest, missing=missing(seen, at=at))
