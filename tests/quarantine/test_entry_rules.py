"""What keeps animals out of a water that has others, or of any beyond its first gate.

Changes with animals: +2 °C or -1 °C in 24 h, as quoted from a maintenance handout; pH and
salinity: common practice, no source.
"""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from quarantine.rules.entry import Entering, Range, acclimation, proof, requirements
from tanks.rules.measured import Measured
from tanks.rules.requirements import MET, Evidence
from tests.quarantine.proven import read

AT = datetime(2026, 5, 4, 12, tzinfo=UTC)


def water(temperature: float, ph: float, salinity: float | None = None) -> dict[str, Measured]:
    found = {"TEMPERATURE": read("TEMPERATURE", temperature), "PH": read("PH", ph)}
    return found if salinity is None else found | {"SALINITY": read("SALINITY", salinity)}


RIGHT = Entering(
    zone=UTC,
    name="A-01",
    is_same_water=False,
    holds=(),
    proof="The certified feed is in force.",
    is_proven=True,
    certified_g_per_day=20.0,
    present_g_per_day=5.0,
    more_g_per_day=5.0,
    percent_allowed=50,
    rank_here=5,
    rank_there=1,
    quarantined=(),
    here=water(25, 7.5),
    there=water(25, 7.6),
    ranges={"TEMPERATURE": Range(low=22, high=27), "PH": Range(low=None, high=8.0)},
    before=(),
    after=(),
    runs_since=AT - timedelta(days=200),
    may_enter_on=date(2026, 5, 4),
    months_run=6,
)


def stopped(known: Entering) -> dict[str, str]:
    found = [*requirements(known, AT), proof(known)]
    return {one.code: one.state for one in found if one.state != MET}


def test_a_right_destination_keeps_nobody_out() -> None:
    assert stopped(RIGHT) == {}
    assert acclimation(RIGHT) == []


@pytest.mark.parametrize(
    ("code", "state", "changes"),
    [
        ("other-water", "not-met", {"is_same_water": True}),
        ("destination-holds", "not-met", {"holds": (Evidence("water of A-01: spots"),)}),
        ("certificate", "not-met", {"is_proven": False}),
        ("hygiene", "not-met", {"rank_there": 6}),
        ("destination-clock", "not-met", {"quarantined": ("L-0004 in A-02",)}),
        ("order", "not-met", {"before": ("L-0002",)}),
        ("months-run", "not-met", {"may_enter_on": date(2026, 5, 5)}),
        ("months-run", "unknown", {"runs_since": None}),
        ("feed", "not-met", {"more_g_per_day": 5.1}),
        ("feed", "unknown", {"certified_g_per_day": None}),
        ("waters", "unknown", {"there": {"PH": read("PH", 7.6)}}),
        ("waters", "unknown", {"here": water(25, 7.5, 34)}),
        ("waters", "not-met", {"there": water(28, 7.6)}),
        ("waters", "not-met", {"there": water(25, 8.4)}),
    ],
)
def test_each_requirement_keeps_them_out_by_itself(
    code: str, state: str, changes: dict[str, object]
) -> None:
    assert stopped(replace(RIGHT, **changes)) == {code: state}  # type: ignore[arg-type]  # as listed


def test_waters_that_differ_are_brought_nearer_in_steps() -> None:
    warmer = replace(RIGHT, here=water(23, 7.5), there=water(26.5, 7.5))
    colder = replace(RIGHT, here=water(26.5, 7.0), there=water(24, 7.6))
    fresher = replace(RIGHT, here=water(25, 8.0, 35), there=water(25, 8.0, 29))

    assert acclimation(warmer) == ["Temperature +3.5 °C over 2 days, at most 2 a day"]
    assert acclimation(colder) == [
        "Temperature -2.5 °C over 3 days, at most 1 a day",
        "pH +0.6 over 2 days, at most 0.3 a day",
    ]
    assert acclimation(fresher) == ["Salinity -6 g/kg over 2 days, at most 3 a day"]
    (compared,) = [one for one in requirements(warmer, AT) if one.code == "waters"]
    assert compared.state == MET
    assert "over 2 days" in compared.sentence


def test_who_resents_newcomers_is_named_and_keeps_nobody_out() -> None:
    (order,) = [
        one for one in requirements(replace(RIGHT, after=("L-0003",)), AT) if one.code == "order"
    ]

    assert order.state == MET
    assert "Watch L-0003" in order.sentence
