"""What a water answers of a calculation's asks, whatever unit it was read in."""

from decimal import Decimal

import pytest

from chemistry.calculator import CALCULATIONS, BadInput, read
from chemistry.calculator.inputs import (
    ALKALINITY,
    NITRATE,
    NITRITE,
    OXYGEN,
    PH,
    PH_SCALE,
    SALINITY,
    TAN,
    TEMPERATURE,
    VOLUME,
)
from chemistry.calculator.terms import Calculation, Output, Source, Subject, Worked
from tanks.models import Vessel
from tanks.queries.filling import Filled, fillings
from tanks.queries.waters import Water, water_of
from tanks.rules.calculations import as_typed
from tests.cast import NOON, House
from tests.tanks.estate import measured, opened, system_of, vessel_of
from tests.tanks.proving import HOUR
from tests.tanks.samples import kit, logged

AT = NOON + HOUR
EVERYTHING = Calculation(
    name="everything",
    question="What does this water say?",
    subject=Subject.QUALITY,
    asks=(
        *(TAN, NITRITE, NITRATE, PH, PH_SCALE, TEMPERATURE),
        *(SALINITY, ALKALINITY, OXYGEN, VOLUME),
    ),
    outputs=(Output(name="none", label="Nothing", unit=""),),
    formula="none",
    sources=(Source(text="none", mark="memory"),),
    solve=lambda **_: Worked(values={}, working=()),
)
# Read in every unit but the canonical one.
ODDLY = (
    ("TAN", "NH3", "mg/L", "0.82"),
    ("NITRITE", "NO2", "mg/L", "0.3"),
    ("NITRATE", "NO3", "mg/L", "20"),
    ("PH", "TOTAL", "pH", "8.05"),
    ("TEMPERATURE", "", "degF", "77"),
    ("SALINITY", "", "SG 25/25", "1.0264"),
    ("ALKALINITY", "CaCO3", "mg/L", "120"),
    ("OXYGEN", "", "%", "95"),
)


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


def now(tank: Vessel) -> Water:
    return water_of(tank, at=AT)


def filled(tank: Vessel, name: str) -> Filled:
    return fillings(EVERYTHING, now(tank))[name]


def read_oddly(house: House, tank: Vessel) -> None:
    for parameter, basis, unit, text in ODDLY:
        method = kit(house, parameter, kind="PROBE", unit=unit, basis=basis)
        logged(house, tank, method, text)


def test_a_number_stays_in_its_own_unit_where_that_is_offered(house: House, tank: Vessel) -> None:
    read_oddly(house, tank)

    found = {
        name: as_typed(one.text, one.unit) for name, one in fillings(EVERYTHING, now(tank)).items()
    }

    assert found["tan"] == "0.82 mg/L as NH3"
    assert found["nitrite"] == "0.3 mg/L as NO2"
    assert found["nitrate"] == "20 mg/L as NO3"
    assert found["alkalinity"] == "120 mg/L CaCO3"
    assert found["temperature"] == "77 degF"
    assert found["ph"] == "8.05"
    assert found["scale"] == "total"


def test_what_is_not_offered_comes_in_the_canonical_unit(house: House, tank: Vessel) -> None:
    read_oddly(house, tank)

    # Specific gravity 1.0264 at 25/25 °C is about 35 g/kg (TEOS-10 by gsw, computed). 95 % of
    # saturation at 25 °C and 35 g/kg, 6.75 mg/L (from memory, unverified).
    salinity, oxygen = filled(tank, "salinity"), filled(tank, "oxygen")
    assert salinity.unit == "g/kg"
    assert float(salinity.text) == pytest.approx(35, abs=0.2)
    assert oxygen.unit == "mg/L"
    assert float(oxygen.text) == pytest.approx(0.95 * 6.75, rel=0.01)


def test_per_cent_of_oxygen_is_no_number_without_a_temperature(house: House, tank: Vessel) -> None:
    logged(house, tank, kit(house, "OXYGEN", kind="PROBE", unit="%", basis=""), "95")

    found = filled(tank, "oxygen")

    assert found.text == ""
    assert found.warnings == ("It cannot be turned into what is asked here: type it.",)


@pytest.mark.parametrize(
    ("steps", "typed"), [((Decimal(0), Decimal("0.25"), Decimal(1)), "0.25"), ((), "")]
)
def test_a_zero_off_a_colour_kit_is_never_a_zero(
    house: House, tank: Vessel, steps: tuple[Decimal, ...], typed: str
) -> None:
    # A colour nobody can tell from blank is below the first step: common practice, no source.
    logged(house, tank, kit(house, "TAN", basis="N", steps=steps), "0")

    found = filled(tank, "tan")

    assert found.text == typed
    assert len(found.warnings) == 1


def test_many_vessels_are_told_by_how_they_are_known(house: House, tank: Vessel) -> None:
    system = system_of(house)
    measured(house, system, litres="500")
    for code in ("B-01", "B-02", "B-03"):
        other = vessel_of(house, code=code)
        measured(house, other, litres="100.5")
        opened(house, other, system)

    found = fillings(EVERYTHING, now(system))["volume"]

    assert as_typed(found.text, found.unit) == "801.5 L"
    assert found.says == (
        "Net volume: 4 vessels; 4 by metered fill; the oldest measured 60 min ago."
    )


def test_a_water_never_read_fills_in_nothing(tank: Vessel) -> None:
    assert set(fillings(EVERYTHING, now(tank))) == {"volume"}


def test_every_calculation_takes_what_a_water_fills_in(house: House, tank: Vessel) -> None:
    measured(house, tank, litres="400")
    read_oddly(house, tank)

    for entry in CALCULATIONS:
        found = fillings(entry, now(tank))
        told = {ask.name: ask.example for ask in entry.asks} | {
            name: as_typed(one.text, one.unit) for name, one in found.items() if one.text
        }
        # A water may lie outside a formula; its own words are always read.
        assert not [fault for fault in faults(entry, told) if "outside" not in fault], entry.name


def faults(entry: Calculation, told: dict[str, str]) -> list[str]:
    try:
        read(entry, told)
    except BadInput as bad:
        return list(bad.faults.values())
    return []
