"""A pass far from the stocking values proves nothing there. Common practice, no source."""

from dataclasses import replace

import pytest

from quarantine.queries.gate import gate_of
from quarantine.rules.conditions import near_stocking
from quarantine.rules.known import Conditions
from tanks.rules.requirements import Requirement
from tests.cast import NOON, House
from tests.quarantine.proven import START_UP, known, read
from tests.quarantine.ready import AT, ready
from tests.tanks.proving import HOUR


@pytest.mark.parametrize(
    ("celsius", "g_kg", "state"),
    [
        (28, 26, "met"),
        (29, 24, "met"),
        (29.1, 24, "not-met"),
        (20.9, 34, "not-met"),
        (25, 23.9, "not-met"),
        (25, 19, "not-met"),
    ],
)
def test_four_degrees_or_ten_g_kg_are_the_most(celsius: float, g_kg: float, state: str) -> None:
    proven = Conditions(temperature=read("TEMPERATURE", celsius), salinity=read("SALINITY", g_kg))

    assert near_stocking(known(proven_in=proven)).state == state


def test_what_was_not_read_counts_as_declared_for_the_start_up() -> None:
    unread = Conditions(temperature=None, salinity=None)
    far = replace(START_UP, cycling_salinity_g_kg=19)

    assert near_stocking(known(proven_in=unread)).state == "met"
    assert near_stocking(known(proven_in=unread, start_ups=(far,))).state == "not-met"


def test_a_reading_too_wide_to_tell_is_no_proof() -> None:
    wide = Conditions(
        temperature=read("TEMPERATURE", 24, float("inf")), salinity=read("SALINITY", 30)
    )

    assert near_stocking(known(proven_in=wide)).state == "unknown"
    assert near_stocking(known(proven_in=None)).state == "unknown"


def test_a_pass_read_too_warm_keeps_the_gate_shut_until_one_nearer(house: House) -> None:
    """Passed at 31 °C, to be stocked at 25 °C."""
    told = ready(house)
    told.read("TEMPERATURE", "31", at=NOON + 30 * HOUR)

    shut = gate_of(told.vessel, at=AT)
    told.read("TEMPERATURE", "25.5", at=AT)
    told.verdict(at=AT)
    again = gate_of(told.vessel, at=AT + 25 * HOUR)

    assert _state(shut.requirements) == "not-met"
    assert not shut.opens
    assert _state(again.requirements) == "met"


def _state(requirements: list[Requirement]) -> str:
    return next(one.state for one in requirements if one.code == "proof-conditions")
