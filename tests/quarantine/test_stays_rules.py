"""Days of a stay: the most that policy, species and the slowest parasite ask for.

Sources: UF/IFAS Circular 920, Francis-Floyd & Reed, as quoted by another text, for
Ichthyophthirius (under 4 days above 24 °C, over 5 weeks below 7 °C); Brazenor & Hutson,
Parasitol Res 2015;114:1875-86, abstract, for Neobenedenia (10-13 days at 26-32 °C, 15-16 at
22-24 °C). Between published temperatures the line is Penstock's own.
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.stay_defaults import (
    LIFE_CYCLES,
    OFFERED,
    RULES,
    is_abroad,
    rules_for,
    rules_offered,
)
from quarantine.rules.stays import coldest, most, shortest, slowest

ICH, FLUKE = LIFE_CYCLES


@pytest.mark.parametrize(("temperature_c", "days"), [(7.0, 35), (24.0, 4), (28.0, 4)])
def test_white_spot_takes_as_long_as_published(temperature_c: float, days: float) -> None:
    assert ICH.days_at(temperature_c) == pytest.approx(days)


@pytest.mark.parametrize(
    ("temperature_c", "days"), [(22.0, 16), (24.0, 16), (26.0, 13), (32.0, 13)]
)
def test_the_skin_fluke_takes_the_longer_of_each_published_range(
    temperature_c: float, days: float
) -> None:
    assert FLUKE.days_at(temperature_c) == pytest.approx(days)


@given(st.floats(7, 40), st.floats(0, 10))
def test_warmer_is_never_slower(temperature_c: float, warmer_c: float) -> None:
    for agent in (ICH, FLUKE):
        slow, fast = agent.days_at(temperature_c), agent.days_at(temperature_c + warmer_c)
        assert fast is None or slow is None or fast <= slow + 1e-9


def test_colder_than_published_is_not_told() -> None:
    (asked,) = slowest([ICH], water_kind="FRESH", coldest_c=6.5)

    assert asked.days is None
    assert "slower than published at 6.5 °C" in asked.why


def test_a_stay_without_logged_temperature_is_not_told() -> None:
    (asked,) = slowest([ICH], water_kind="FRESH", coldest_c=None)

    assert asked.days is None
    assert slowest([ICH], water_kind="MARINE", coldest_c=None) == []


def test_the_coldest_day_sets_the_pace() -> None:
    logged = {date(2026, 3, 2): 25.0, date(2026, 3, 3): 15.0, date(2026, 3, 4): 26.0}

    assert coldest(logged) == (date(2026, 3, 3), 15.0)
    warm, cold = (
        slowest([ICH], water_kind="FRESH", coldest_c=temperature)[0].days
        for temperature in (25.0, 15.0)
    )
    # Straight in the logarithm: 4 x (35/4)^(9/17) = 12.61, counted as 13 full days.
    assert (warm, cold) == (4, 13)


def asked_of(group: str, water_kind: str, *, place: str, origin: str, sheet: int | None) -> int:
    return most(
        shortest(
            rules_for(place),
            group=group,
            water_kind=water_kind,
            is_from_abroad=is_abroad(origin, place),
            sheet_days=sheet,
        )
    )


def test_the_most_that_is_asked_for_holds() -> None:
    assert asked_of("FISH", "FRESH", place="PT", origin="", sheet=None) == 21
    assert asked_of("FISH", "FRESH", place="PT", origin="", sheet=45) == 45
    assert asked_of("FISH", "FRESH", place="PT", origin="", sheet=7) == 21
    assert asked_of("FISH", "MARINE", place="PT", origin="SG", sheet=None) == 28
    assert asked_of("CORAL", "MARINE", place="US-FL", origin="ID", sheet=None) == 30


def test_a_place_is_not_shown_the_duties_of_another() -> None:
    here = {rule.jurisdiction for rule in rules_for("GB-SCT")}

    assert here == {""}
    assert {rule.jurisdiction for rule in rules_for("AU")} == {"", "AU"}
    assert {rule.jurisdiction for rule in rules_offered("AU")} == {"US", "EU"}
    assert len(list(rules_for("GB-SCT"))) + len(list(rules_offered("GB-SCT"))) == len(
        RULES + OFFERED
    )


def test_abroad_is_another_country_and_within_the_union_it_is_not() -> None:
    assert is_abroad("SG", "PT")
    assert not is_abroad("ES", "PT")
    assert is_abroad("ES", "GB-ENG")
    assert not is_abroad("", "PT")
    assert not is_abroad("gb", "GB-ENG")


def test_a_figure_nobody_has_read_is_not_called_verified() -> None:
    """Those quoted by another text or from memory bear no mark."""
    for one in (*RULES, *OFFERED, *LIFE_CYCLES):
        is_second_hand = "quoted" in one.source or "memory" in one.source
        assert not (is_second_hand and one.verified_on)
