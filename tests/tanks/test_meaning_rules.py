"""What readings mean, against printed values and the trade's own worked examples."""

from datetime import timedelta
from typing import Any

import pytest

from tanks.rules.free_ammonia import Given, free_ammonia
from tanks.rules.limits import UNIONISED, Bound, Finding, Read, Setting
from tanks.rules.meaning import Meaning, ammonia_sentence, meaning
from tanks.rules.values import Interval
from tests.cast import NOON

DAY = timedelta(hours=24)


def read(parameter: str, low: float, high: float | None = -1.0, **changes: Any) -> Read:
    told: dict[str, Any] = {
        "parameter": parameter,
        "interval": Interval(low, low if high == -1.0 else high),
        "text": f"{low:g}",
        "at": NOON,
        "method_kind": "PROBE",
    }
    return Read(**(told | changes))


def bound(parameter: str, **changes: Any) -> Bound:
    told: dict[str, Any] = {
        "parameter": parameter,
        "low": None,
        "high": None,
        "is_share": False,
        "text": "the limit",
        "level": 2,
        "advice": "Do it.",
        "source": "a test",
        "verified": False,
    }
    return Bound(**(told | changes))


def judged(*reads: Read, bounds: tuple[Bound, ...] = (), **setting: Any) -> Meaning:
    told: dict[str, Any] = {"at": NOON, "fresh_for": DAY, "with_animals": True}
    around = Setting(**(told | setting))
    return meaning({one.parameter: one for one in reads}, bounds, around)


def of(found: Meaning, parameter: str) -> Finding:
    (finding,) = [one for one in found.findings if one.parameter == parameter]
    return finding


def water(*, ph: float, temperature_c: float, tan_mg_l_n: float, **changes: Any) -> Given:
    told: dict[str, Any] = {
        "tan": Interval(tan_mg_l_n, tan_mg_l_n),
        "tan_by": "PHOTOMETER",
        "ph": Interval(ph, ph),
        "ph_by": "PROBE",
        "ph_is_total": False,
        "temperature": Interval(temperature_c, temperature_c),
        "salinity": None,
    }
    return Given(**(told | changes))


# UF/IFAS FA16 (FA031), "Ammonia in Aquatic Systems", the printed fractions for fresh water.
@pytest.mark.parametrize(
    ("ph", "temperature_c", "fraction"),
    [(7.0, 6, 0.0013), (7.0, 30, 0.0080), (8.0, 24, 0.0502), (8.2, 28, 0.0998), (8.4, 20, 0.0904)],
)
def test_the_free_share_is_the_printed_one(
    ph: float, temperature_c: float, fraction: float
) -> None:
    found = free_ammonia(water(ph=ph, temperature_c=temperature_c, tan_mg_l_n=2.0))

    assert found.value.low == pytest.approx(2.0 * fraction, abs=2.0 * 0.00006)
    assert found.method == "Emerson et al. 1975"


# Propagation of error to first order, JCGM 100:2008: with u(pH) 0.1, u(t) 0.5 K, u(TAN) 10 %.
@pytest.mark.parametrize(
    ("ph", "temperature_c", "spread"), [(7.0, 25, 0.252), (8.0, 25, 0.242), (9.0, 25, 0.179)]
)
def test_the_spread_is_that_of_the_readings(ph: float, temperature_c: float, spread: float) -> None:
    found = free_ammonia(water(ph=ph, temperature_c=temperature_c, tan_mg_l_n=1.0))

    assert -found.below < spread < found.above
    assert (found.above - found.below) / 2 == pytest.approx(spread, abs=0.006)


def test_sea_water_takes_the_formula_of_its_ph_scale() -> None:
    given: dict[str, Any] = {
        "ph": 8.1,
        "temperature_c": 25.0,
        "tan_mg_l_n": 0.5,
        "salinity": Interval(35, 35),
    }

    assert free_ammonia(water(**given)).method == "US EPA 1989"
    assert free_ammonia(water(**given, ph_is_total=True)).method == "Clegg & Whitfield 1995"


def test_below_detection_it_is_below_something_and_never_nothing() -> None:
    found = free_ammonia(water(ph=8.0, temperature_c=25, tan_mg_l_n=0.0, tan=Interval(0, 0.25)))

    # 0.25 x 0.0537, Emerson et al. 1975 at 25 °C and pH 8.
    assert ammonia_sentence(found) == "Un-ionised ammonia is below 0.013 mg/L as N."


def test_over_range_has_no_upper_end() -> None:
    found = free_ammonia(water(ph=8.0, temperature_c=25, tan_mg_l_n=5.0, tan=Interval(5, None)))

    assert found.likely.high is None
    assert "is above" in ammonia_sentence(found)


def test_it_says_what_is_missing() -> None:
    found = judged(read("TAN", 1.0), bounds=(bound(UNIONISED, high=0.02),))

    assert found.ammonia is None
    assert "before pH and temperature are read" in found.ammonia_unknown
    assert found.findings == ()


def test_a_limit_between_detection_and_nothing_is_left_open() -> None:
    """0.2 mg/L as NO2 is 0.061 as N: a kit that starts at 0.25 cannot show it is kept."""
    found = judged(read("NITRITE", 0.0, 0.25), bounds=(bound("NITRITE", high=0.061),))

    assert of(found, "NITRITE").level == 3
    assert "leaves open" in of(found, "NITRITE").sentence


@pytest.mark.parametrize(
    ("low", "high", "level"),
    [(0.5, 0.5, 2), (0.1, 0.1, 0), (0.2, 0.2, 0), (0.25, 0.5, 2), (0.1, 0.5, 3), (1.0, None, 1)],
)
def test_the_more_pressing_of_two_limits_speaks(low: float, high: float | None, level: int) -> None:
    bounds = (bound("NITRITE", high=0.2, level=2), bound("NITRITE", high=0.9, level=1))

    assert of(judged(read("NITRITE", low, high), bounds=bounds), "NITRITE").level == level


def test_oxygen_in_per_cent_meets_a_limit_in_mg_l() -> None:
    """Benson & Krause (1984): fresh water at 25 °C holds 8.26 mg/L, so 70 % is 5.8."""
    limit = bound("OXYGEN", low=6.0)
    share = read("OXYGEN", 0.0, None, share=Interval(70, 70))

    assert of(judged(share, read("TEMPERATURE", 25.0), bounds=(limit,)), "OXYGEN").level == 2
    assert of(judged(share, read("TEMPERATURE", 15.0), bounds=(limit,)), "OXYGEN").level == 0
    assert judged(share, bounds=(limit,)).findings == ()


def test_total_scale_ph_is_held_against_limits_on_its_own_height() -> None:
    """NBS pH stands 0.14 above the total scale in sea water of 35 g/kg at 25 °C."""
    surroundings = (read("TEMPERATURE", 25.0), read("SALINITY", 35.0))
    limits = (bound("PH", low=8.1),)

    on_total = judged(read("PH", 8.0, ph_is_total=True), *surroundings, bounds=limits)
    on_nbs = judged(read("PH", 8.0), *surroundings, bounds=limits)

    assert (of(on_total, "PH").level, of(on_nbs, "PH").level) == (0, 2)


def test_rising_ph_with_ammonia_present_asks_for_action_first() -> None:
    """Trade practice: TAN 2 with pH 6.2 raised to 7.5 is twenty times more free ammonia."""
    before = read("PH", 6.2, at=NOON - timedelta(hours=5))

    rising = judged(read("TAN", 2.0), read("PH", 7.5), previous_ph=before)
    without = judged(read("TAN", 0.0, 0.25), read("PH", 7.5), previous_ph=before)

    assert rising.findings[0].level == 1
    assert "un-ionised" in rising.findings[0].sentence
    assert without.findings == ()


def test_an_old_reading_says_its_age() -> None:
    old = read("NITRITE", 0.1, at=NOON - timedelta(days=3))

    found = judged(old, bounds=(bound("NITRITE", high=0.2),))

    assert "(3 d ago)" in of(found, "NITRITE").sentence


def test_a_reading_in_another_unit_is_told_in_the_limits_unit_too() -> None:
    # 1 dKH is 0.3566 meq/L: 17.848 mg/L CaCO3 over 50.04 mg/meq, exact definitions.
    soft = read("ALKALINITY", 2.2 * 0.3566, text="2.2 dKH")
    least = bound("ALKALINITY", low=1.0, text="1 meq/L")

    found = of(judged(soft, bounds=(least,)), "ALKALINITY")

    assert found.sentence == "Alkalinity 2.2 dKH (0.785 meq/L) is below 1 meq/L."
