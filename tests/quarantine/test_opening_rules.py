"""Opening a bag: how un-ionised ammonia climbs with pH."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.opening import Sampled, Tank, is_warning, jump_of, problem_of


def bag(**values: str) -> list[Sampled]:
    units = {
        "TAN": ("mg/L", "N"),
        "PH": ("pH", "NBS"),
        "TEMPERATURE": ("degC", ""),
        "SALINITY": ("g/kg", ""),
    }
    return [
        Sampled(parameter=name, text=text, unit=units[name][0], basis=units[name][1])
        for name, text in values.items()
    ]


def tank(ph: float | None = 7.8, c: float | None = 24.0, s: float | None = None) -> Tank:
    return Tank(ph=ph, temperature_c=c, salinity_g_kg=s)


def test_five_mg_of_tan_opened_from_6_4_to_7_8() -> None:
    """Trade practice, computed there: 0.007 to 0.16 mg/L NH3-N, 24 times as much."""
    jump = jump_of(bag(TAN="5", PH="6.4", TEMPERATURE="24"), tank())

    assert jump is not None
    assert jump.bag_mg_l_n == pytest.approx(0.007, abs=0.0005)
    assert jump.opened_mg_l_n == pytest.approx(0.16, abs=0.005)
    assert round(jump.factor) == 24
    assert "24 times as much" in jump.sentence
    assert is_warning(jump, limit_mg_l_n=0.02)


def test_tan_as_ammonia_counts_as_nitrogen() -> None:
    """14.007/17.031 of ammonia is nitrogen: standards.md section 7, 1.2159."""
    as_n = jump_of(bag(TAN="5", PH="6.4"), tank())
    as_nh3 = jump_of(
        [Sampled(parameter="TAN", text="6.0795", unit="mg/L", basis="NH3"), *bag(PH="6.4")], tank()
    )

    assert as_n is not None
    assert as_nh3 is not None
    assert as_nh3.opened_mg_l_n == pytest.approx(as_n.opened_mg_l_n, rel=1e-3)


@pytest.mark.parametrize(
    ("sample", "into"),
    [
        (bag(PH="6.4"), tank()),
        (bag(TAN="5"), tank()),
        (bag(TAN="5", PH="6.4"), tank(ph=None)),
        (bag(TAN="5", PH="6.4"), tank(c=None)),
        (bag(TAN="5", PH="3.0", TEMPERATURE="24"), tank()),
    ],
)
def test_nothing_is_told_of_what_is_not_known(sample: list[Sampled], into: Tank) -> None:
    assert jump_of(sample, into) is None


def test_a_bag_no_more_acid_than_the_tank_is_no_warning() -> None:
    jump = jump_of(bag(TAN="5", PH="7.8", TEMPERATURE="24"), tank())

    assert jump is not None
    assert not is_warning(jump, limit_mg_l_n=0.02)


def test_more_than_the_kit_can_tell_counts_as_at_least_that() -> None:
    over = jump_of(bag(TAN=">8", PH="6.4", TEMPERATURE="24"), tank())
    below = jump_of(bag(TAN="<0.5", PH="6.4", TEMPERATURE="24"), tank())

    assert over is not None
    assert below is not None
    assert over.opened_mg_l_n == pytest.approx(8 / 5 * 0.16, abs=0.01)
    assert below.opened_mg_l_n == pytest.approx(0.5 / 5 * 0.16, abs=0.002)


@given(
    low=st.floats(6.0, 8.4), more=st.floats(0.0, 1.0), tan=st.floats(0.1, 20), c=st.floats(5, 30)
)
def test_the_higher_the_tanks_ph_the_greater_the_jump(
    low: float, more: float, tan: float, c: float
) -> None:
    sample = bag(TAN=f"{tan:.2f}", PH="6.0", TEMPERATURE=f"{c:.1f}")
    lower, higher = (jump_of(sample, tank(ph=ph, c=None)) for ph in (low, low + more))

    assert lower is not None
    assert higher is not None
    assert higher.opened_mg_l_n >= lower.opened_mg_l_n >= lower.bag_mg_l_n * (1 - 1e-9)


@pytest.mark.parametrize(
    ("parameter", "text", "unit", "basis", "told"),
    [
        ("TAN", "five", "mg/L", "N", "is not a value"),
        ("TAN", "5", "mg/L", "", "choose mg/L as N"),
        ("PH", "72", "pH", "NBS", "out of any bag's range"),
        ("NITRITE", "1", "mg/L", "N", "only temperature, pH, TAN and salinity"),
    ],
)
def test_what_cannot_be_is_told(
    parameter: str, text: str, unit: str, basis: str, told: str
) -> None:
    assert told in problem_of(Sampled(parameter=parameter, text=text, unit=unit, basis=basis))


def test_what_can_be_read_is_taken() -> None:
    assert not any(map(problem_of, bag(TAN="<0.25", PH="6,4", TEMPERATURE="24.5", SALINITY="33")))
