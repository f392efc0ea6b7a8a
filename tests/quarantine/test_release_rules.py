"""What keeps animals in: every requirement at once, and waiting never adds one.

Figures are the site's policy; which requirements there are is common practice, no source.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.clocks import Clock
from quarantine.rules.release import Leaving, Look, Treated, answer, hindrances, requirements
from quarantine.rules.stay_defaults import POLICY
from quarantine.rules.stays import Asked
from tanks.rules.requirements import MET, Evidence

NOON = datetime(2026, 3, 29, 12, tzinfo=UTC)
DAY = timedelta(days=1)
HOUR = timedelta(hours=1)


def clock(ends_at: datetime | None, *waits: str) -> Clock:
    return Clock(since=NOON - 21 * DAY, ends_at=ends_at, binding=None, waits=waits)


def look(at: datetime, *, ate: bool | None = True, has_signs: bool = False) -> Look:
    return Look(at=at, ate=ate, has_signs=has_signs, told="ate; no clinical signs seen")


CLEAR = Leaving(
    zone=UTC,
    policy=POLICY,
    count=20,
    wanted=12,
    clock=clock(NOON),
    is_settled=False,
    asked=(Asked(days=21, why="quarantine", source="a text", is_verified=False),),
    holds=(),
    courses=(),
    deaths_at=(),
    looks=(look(NOON - 30 * HOUR), look(NOON - HOUR)),
    awaited=(),
    found=(),
    papers_wanted="",
    papers=(),
)


def stopped(known: Leaving, *, at: datetime = NOON) -> set[str]:
    return {one.code for one in requirements(known, at) if one.state != MET}


def test_nothing_keeps_in_who_has_done_everything() -> None:
    assert stopped(CLEAR) == set()
    assert answer(requirements(CLEAR, NOON)) == "Yes: all 10 requirements are met."


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("count", {"wanted": 21}),
        ("count", {"wanted": 0}),
        ("holds", {"holds": (Evidence("L-0001, disease suspected or found: spots"),)}),
        ("days", {"clock": clock(NOON, "course of copper in Q-1")}),
        ("life-cycles", {"asked": (Asked(days=None, why="cold", source="", is_verified=False),)}),
        ("courses", {"courses": (Treated(name="Copper", ended_at=None, cleared_at=None),)}),
        ("courses", {"courses": (Treated(name="Copper", ended_at=NOON - DAY, cleared_at=None),)}),
        (
            "courses",
            {"courses": (Treated(name="Copper", ended_at=NOON - HOUR, cleared_at=NOON - HOUR),)},
        ),
        ("deaths", {"deaths_at": (NOON - 40 * DAY, NOON - 13 * DAY)}),
        ("feeding", {"looks": (look(NOON - 9 * HOUR), look(NOON - HOUR, ate=False))}),
        ("feeding", {"looks": (look(NOON - 9 * HOUR), look(NOON - HOUR, ate=None))}),
        ("signs", {"looks": (look(NOON - 30 * HOUR), look(NOON - HOUR, has_signs=True))}),
        ("signs", {"looks": (look(NOON - 90 * HOUR), look(NOON - 30 * HOUR))}),
        ("results", {"awaited": ("Koi herpesvirus",)}),
        ("results", {"found": ("Cryptocaryon irritans",)}),
        ("papers", {"papers_wanted": "They came from another country (SG)."}),
    ],
)
def test_each_requirement_keeps_them_in_by_itself(code: str, changes: dict[str, object]) -> None:
    assert stopped(replace(CLEAR, **changes)) == {code}  # type: ignore[arg-type]  # as listed


def test_all_hindrances_are_told_at_once() -> None:
    known = replace(
        CLEAR,
        clock=clock(NOON + DAY),
        deaths_at=(NOON - DAY,),
        looks=(),
        awaited=("Koi herpesvirus",),
    )

    told = list(hindrances(requirements(known, NOON)))

    assert stopped(known) == {"days", "deaths", "feeding", "signs", "results"}
    assert len(told) == 5
    assert any("Mon 30 Mar 2026, 12:00" in one for one in told)


def test_the_last_day_lets_them_out_and_not_before() -> None:
    known = replace(CLEAR, looks=(look(NOON - 9 * HOUR), look(NOON - HOUR)))

    assert stopped(known, at=NOON - timedelta(minutes=1)) == {"days"}
    assert stopped(known, at=NOON) == set()


def test_no_sentence_speaks_of_health_or_freedom() -> None:
    told = " ".join(f"{one.title} {one.sentence}" for one in requirements(CLEAR, NOON)).lower()

    assert not any(word in told for word in ("free of", "safe", "healthy"))


moments = st.integers(-60 * 24, 60 * 24).map(lambda hours: NOON + hours * HOUR)


@st.composite
def leavings(draw: st.DrawFn) -> Leaving:
    looks = sorted(draw(st.lists(moments, max_size=4)))
    courses = [
        Treated(name="Copper", ended_at=ended, cleared_at=draw(st.sampled_from([None, ended])))
        for ended in draw(st.lists(st.one_of(st.none(), moments), max_size=2))
    ]
    return replace(
        CLEAR,
        clock=clock(
            draw(st.one_of(st.none(), moments)), *draw(st.lists(st.just("course"), max_size=1))
        ),
        is_settled=draw(st.booleans()),
        courses=tuple(courses),
        deaths_at=tuple(draw(st.lists(moments, max_size=3))),
        looks=tuple(
            look(at, ate=draw(st.sampled_from([True, False, None])), has_signs=draw(st.booleans()))
            for at in looks
        ),
        awaited=tuple(draw(st.lists(st.just("agent"), max_size=1))),
    )


@given(leavings(), moments, st.integers(0, 90 * 24))
def test_waiting_adds_no_hindrance(known: Leaving, at: datetime, hours: int) -> None:
    assert stopped(known, at=at + hours * HOUR) <= stopped(known, at=at)
