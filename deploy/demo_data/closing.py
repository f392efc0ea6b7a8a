"""Walks, what is left for a while, steps from dirty to clean, and what one shift writes."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

from deploy.demo_data.acts import TODAY, Act, Weeks, ident
from deploy.demo_data.house import AREAS, SITE_ID, TUBS
from facility.commands.breaks import TakeBreak
from facility.commands.hand_overs import HandOver
from facility.commands.loose_ends import LeaveLooseEnd, ReturnLooseEnd
from tanks.commands.walks import LogWalk, SignSeen

_WALKED_DAYS: Final = 5
_RETIRED: Final = "A-09"
_WALKERS: Final = {"Breeding room": "tove", "Shop room": "kasim", "Exhibit backroom": "jun"}
# Day before today, area, tank, sign, words.
_SIGNS: Final = (
    (3, "Shop room", "S1-04", "CLAMPED", "Two in the corner, still feeding"),
    (1, "Shop room", "S1-07", "SPOTS", "White dots on three"),
    (1, "Breeding room", "P-05", "DEAD", "One fry, taken out"),
    (0, "Shop room", "S1-02", "GASPING", "At the surface; rest of the row the same"),
)
_NOTES: Final = (
    (
        1,
        "18:35",
        "kasim",
        (
            "The drum cloth of S1 was rinsed under the tap. Test TAN and nitrite first thing and "
            "feed lightly.\nS1-07 is still shut off: the bath is done, nobody has opened it."
        ),
    ),
    (
        0,
        "12:30",
        "tove",
        (
            "S1: nitrite is up, feed halved at noon. Next test at four.\nSalt water for S2 stands "
            "ready in the blue butt."
        ),
    ),
)


def walked(weeks: Weeks) -> Iterator[Act]:
    """Each morning of the last days, the areas with a regular walker."""
    for ago in range(_WALKED_DAYS - 1, -1, -1):
        for area, by in _WALKERS.items():
            at = weeks.at(TODAY - ago, "07:40")
            yield _told(at + timedelta(minutes=6), by, _walk(area, ago, at))


def left(weeks: Weeks) -> Iterator[Act]:
    """One put right in time, one overdue, two that run."""
    for one in _LOOSE:
        at = weeks.at(TODAY - one.ago, one.clock)
        yield _told(at + timedelta(minutes=2), one.by, _loose(one, at, weeks))
    back = weeks.at(TODAY - 2, "11:20")
    righted = ReturnLooseEnd(
        id=ident("righted:hose"), loose_end_id=ident("loose:hose"), happened_at=back
    )
    yield _told(back + timedelta(minutes=1), "jun", righted)


def handed_over(weeks: Weeks) -> Iterator[Act]:
    for ago, clock, by, text in _NOTES:
        at = weeks.at(TODAY - ago, clock)
        note = HandOver(id=ident(f"note:{ago}:{clock}"), site_id=SITE_ID, text=text, happened_at=at)
        yield _told(at + timedelta(minutes=1), by, note)


def stepped(weeks: Weeks) -> Iterator[Act]:
    """From the quarantine corner back to the shop: once as it should be, once by hands alone."""
    for ago, clock, by, kit_changed in ((2, "15:10", "kasim", True), (1, "15:40", "jun", False)):
        at = weeks.at(TODAY - ago, clock)
        step = TakeBreak(
            id=ident(f"break:{ago}"),
            site_id=SITE_ID,
            from_rank=AREAS["Quarantine corner"],
            to_rank=AREAS["Shop room"],
            kit_changed=kit_changed,
            hands_disinfected=True,
            happened_at=at,
        )
        yield _told(at + timedelta(minutes=1), by, step)


def _walk(area: str, ago: int, at: datetime) -> LogWalk:
    day = TODAY - ago
    codes = [
        tub.code for tub in TUBS if tub.area == area and tub.day < day and tub.code != _RETIRED
    ]
    signs = tuple(
        SignSeen(id=ident(f"sign:{ago}:{code}"), vessel_id=ident(code), sign=sign, note=note)
        for when, where, code, sign, note in _SIGNS
        if (when, where) == (ago, area)
    )
    return LogWalk(
        id=ident(f"walk:{area}:{ago}"),
        area_id=ident(f"area:{area}"),
        seen=tuple(ident(code) for code in codes),
        signs=signs,
        happened_at=at,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Left:
    """``ago`` and ``back`` count days before today; each has its clock."""

    name: str
    by: str
    ago: int
    clock: str
    kind: str
    about: str
    what: str
    why: str
    back: int
    back_clock: str


_LOOSE: Final = (
    _Left(
        name="hose",
        by="jun",
        ago=2,
        clock="10:05",
        kind="HOSE",
        about=f"tanks.vessel:{ident('X-02')}",
        what="Fill hose in X-02, 12 L a minute",
        why="Topping up after the gravel was siphoned",
        back=2,
        back_clock="11:30",
    ),
    _Left(
        name="hold",
        by="kasim",
        ago=2,
        clock="09:15",
        kind="HOLD",
        about=f"tanks.vessel:{ident('Q1-03')}",
        what="Q1-03 is not for sale",
        why="Lot still off its feed",
        back=-5,
        back_clock="18:00",
    ),
    _Left(
        name="bath",
        by="kasim",
        ago=0,
        clock="08:20",
        kind="CONTACT_TIME",
        about=f"facility.area:{ident('area:Quarantine corner')}",
        what="Nets of Q1 in disinfectant",
        why="Contact time by the label, then rinse",
        back=0,
        back_clock="08:50",
    ),
    _Left(
        name="butt",
        by="tove",
        ago=0,
        clock="09:00",
        kind="PREPARED_WATER",
        about=f"facility.area:{ident('area:Shop room')}",
        what="200 L of salt water in the blue butt",
        why="For the change of S2",
        back=0,
        back_clock="18:30",
    ),
)


def _loose(one: _Left, at: datetime, weeks: Weeks) -> LeaveLooseEnd:
    return LeaveLooseEnd(
        id=ident(f"loose:{one.name}"),
        about=one.about,
        kind=one.kind,
        what=one.what,
        why=one.why,
        owner_id=ident(f"person:{one.by}"),
        due_back_at=weeks.at(TODAY - one.back, one.back_clock),
        happened_at=at,
    )


def _told(at: datetime, by: str, command: Any) -> Act:
    return Act(at=at, by=by, command=command)
