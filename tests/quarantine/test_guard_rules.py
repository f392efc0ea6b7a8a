"""Each slip of trade practice meets a stop of its own, and a right dose meets none.

The slips: trade practice (wrong volume, tenfold, salt form, percentages, full dose after a
change); limits: 21 CFR 529.1030 and 529.1150, read in the 2015 edition.
"""

from dataclasses import replace
from datetime import date
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.agent_forms import FORMS, strength
from quarantine.rules.guard import stops
from quarantine.rules.guard_amounts import computed
from tests.quarantine.guarding import (
    BOTTLE,
    HOUR,
    MO,
    OTHER,
    SUMP,
    TANK,
    bath,
    codes,
    copper,
    drum_of,
    earlier,
    fish,
    ground_for,
    read,
    regime_of,
    second_to,
)

FORMALIN = drum_of("FORMALIN", "FORMALIN_37", 37)
PEROXIDE = drum_of("HYDROGEN_PEROXIDE", "H2O2", 396.1)


def test_a_right_dose_of_copper_is_let_in() -> None:
    assert codes(copper()) == set()


def test_a_right_bath_of_formalin_is_let_in() -> None:
    assert codes(bath("FORMALIN", FORMALIN, level=200)) == set()


def test_copper_sulfate_for_a_fifth_of_a_milligram_in_400_litres() -> None:
    """CuSO4·5H2O holds 25.450 % copper: 314.3 mg (IUPAC atomic weights, computed)."""
    crystals = strength(FORMS["CUSO4_5H2O"], 100)
    grams = computed(rise=0.20, litres=400, strength=crystals)
    assert grams * 1000 == pytest.approx(314.3, abs=0.1)


def test_peroxide_of_396_mg_in_a_millilitre_for_75_mg_in_200_litres() -> None:
    """37.869 mL: strength from 21 CFR 529.1150."""
    ml = computed(rise=75, litres=200, strength=strength(FORMS["H2O2"], 396.1))
    assert ml == pytest.approx(37.869, abs=0.001)


def test_a_quarter_millilitre_of_formalin_in_each_litre_of_400_is_100_ml() -> None:
    ml = computed(rise=250, litres=400, strength=strength(FORMS["FORMALIN_37"], 37))
    assert ml == pytest.approx(100.0)


@pytest.mark.parametrize(
    ("species", "temperature_c", "level", "is_over"),
    [
        ("Oncorhynchus mykiss", 12.0, 200, True),  # 53.6 °F: 170 holds
        ("Oncorhynchus mykiss", 8.0, 200, False),  # 46.4 °F: 250 holds
        ("Oncorhynchus mykiss", 10.0, 200, True),  # exactly 50 °F is undefined: 170 is taken
        ("Oncorhynchus mykiss", 12.0, 165, False),
        ("Cyprinus carpio", 20.0, 250, False),
        ("Cyprinus carpio", 20.0, 270, True),
    ],
)
def test_formalin_limits_by_kind_of_fish_and_temperature(
    species: str, temperature_c: float, level: float, *, is_over: bool
) -> None:
    asked = bath("FORMALIN", FORMALIN, level=level)
    base = ground_for(asked)
    ground = replace(
        base,
        animals=(fish(species),),
        conditions=dict(base.conditions) | {"TEMPERATURE": read(temperature_c)},
    )
    assert ("over-maximum" in codes(asked, ground)) is is_over


def test_a_minute_more_than_an_hour_in_formalin_is_stopped() -> None:
    asked = bath("FORMALIN", FORMALIN, level=200)
    assert codes(replace(asked, minutes=61)) == {"too-long"}
    assert codes(replace(asked, minutes=None)) == {"minutes-missing"}


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"seen_litres": 1800.0}, "volume-changed"),
        ({"seen_members": frozenset([TANK, SUMP])}, "water-changed"),
        ({"amount": copper().amount * 10}, "far-from-computed"),
        ({"amount": copper().amount * 10}, "over-window"),
        ({"amount": copper().amount / 10}, "far-from-computed"),
        ({"amount": copper().amount * 3.785}, "over-window"),
        ({"amount": copper().amount * 1.2}, "over-window"),
        ({"rise": 1.8, "amount": copper().amount * 10}, "over-window"),
        ({"rise": 0.018, "amount": copper().amount / 10}, "far-from-target"),
        ({"by": MO}, "second-missing"),
    ],
)
def test_slips_of_the_amount_and_of_the_water(changes: dict[str, Any], code: str) -> None:
    asked = copper()
    assert code in codes(replace(asked, **changes), ground_for(asked))


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"expires_on": date(2026, 5, 3)}, "container-expired"),
        ({"expires_on": None}, "container-expired"),
        ({"is_retired": True}, "container-retired"),
        ({"agent": "COPPER_BOUND"}, "wrong-agent"),
        ({"was_harmful": True}, "trial-harmed"),
    ],
)
def test_slips_of_the_container(changes: dict[str, Any], code: str) -> None:
    drum = replace(drum_of("COPPER_FREE", "CUSO4_5H2O", 100), **changes)
    assert codes(copper(drum=drum), regime=regime_of("COPPER_FREE")) >= {code}


def test_another_container_opens_the_trial_again_however_alike_it_is() -> None:
    """A large exhibit was lost to an identically labelled container of another chemical."""
    first = copper(rise=0.02, amount=0.02 * 400 / copper().drum.strength, intent="TOP_UP")
    before = earlier(copper(), drum=OTHER, at=first.at - 30 * HOUR)
    untried = replace(first, drum=replace(first.drum, is_tried=False))
    level = {"level_low": 0.15, "level_high": 0.15, "earlier": (before,)}

    assert "container-changed" in codes(untried, ground_for(untried, **level))
    assert "container-changed" not in codes(first, ground_for(first, **level))


@pytest.mark.parametrize(
    ("coldest_c", "code"), [(None, "storage-unknown"), (-3.0, "stored-cold"), (4.0, "stored-cold")]
)
def test_formalin_that_was_stored_cold_or_nobody_knows_where(
    coldest_c: float | None, code: str
) -> None:
    asked = bath("FORMALIN", replace(FORMALIN, coldest_c=coldest_c), level=200)
    assert codes(asked) == {code}


@pytest.mark.parametrize(
    ("species", "group", "is_stopped"),
    [
        ("Turbo fluctuosus", "MOLLUSC", True),
        ("Lysmata amboinensis", "CRUSTACEAN", True),
        ("Taeniura lymma", "ELASMOBRANCH", True),
        ("Zebrasoma flavescens", "FISH", False),
    ],
)
def test_copper_stops_for_whoever_does_not_bear_it_anywhere_in_the_water(
    species: str, group: str, *, is_stopped: bool
) -> None:
    ground = ground_for(copper(), animals=(fish(), fish(species, group)))
    assert codes(copper(), ground) == ({"animals"} if is_stopped else set())


def test_what_a_species_sheet_forbids_is_named() -> None:
    spared = fish("Synchiropus splendidus", spared={"COPPER_FREE": "dies of it here in 2025"})
    (stopped,) = stops(copper(), ground_for(copper(), animals=(spared,)), regime_of("COPPER_FREE"))
    assert "Synchiropus splendidus in Q-01: dies of it here in 2025" in stopped.sentence


def test_peroxide_is_not_for_pike() -> None:
    asked = bath("HYDROGEN_PEROXIDE", PEROXIDE, level=50, minutes=30)
    assert codes(asked, ground_for(asked, animals=(fish("Esox lucius"),))) == {"animals"}


@pytest.mark.parametrize(
    ("conditions", "code"),
    [
        ({"ALKALINITY": read(0.6)}, "alkalinity-out"),
        ({"ALKALINITY": read(2.4, hours_ago=25)}, "alkalinity-unread"),
    ],
)
def test_copper_asks_for_alkalinity_of_today(conditions: dict[str, Any], code: str) -> None:
    ground = ground_for(copper())
    changed = replace(ground, conditions=dict(ground.conditions) | conditions)
    assert codes(copper(), changed) == {code}


def test_a_full_dose_after_a_third_was_changed_is_stopped_and_a_third_of_it_is_not() -> None:
    """Trade practice: the full dose again ends at 170 %."""
    full, part = copper(), copper(rise=0.054, amount=copper().amount * 0.3, intent="REDOSE")
    known = {
        "level_low": 0.126,
        "level_high": 0.126,
        "informed_at": full.at - HOUR,
        "earlier": (earlier(full),),
    }
    assert "over-window" in codes(full, ground_for(full, **known))
    assert codes(part, ground_for(part, **known)) == set()


def test_the_same_dose_twice_in_twelve_hours_by_two_people_is_stopped() -> None:
    asked = bath("METHYLENE_BLUE", drum_of("METHYLENE_BLUE", "METHYLENE_BLUE", 100), level=1)
    theirs = earlier(asked, by=MO, at=asked.at - 3 * HOUR)
    known = {"earlier": (theirs,), "level_low": 1.0, "level_high": 1.0}
    assert "dosed-already" in codes(asked, ground_for(asked, **known))
    late = {"earlier": (replace(theirs, at=asked.at - 13 * HOUR),)} | {"informed_at": None}
    assert codes(asked, ground_for(asked, **late)) == set()


def test_the_second_person_has_to_come_to_the_same_by_their_own_litres() -> None:
    asked = copper()
    own = second_to(asked)
    disagreeing = [replace(own, amount=own.amount * 2), replace(own, litres=1800.0)]
    for theirs in disagreeing:
        assert codes(asked, ground_for(asked, seconds=(theirs,))) == {"second-disagrees"}
    others = [
        replace(own, by=asked.by),
        replace(own, drum=OTHER),
        replace(own, at=asked.at - 3 * HOUR),
        replace(own, rise=0.02),
    ]
    for theirs in others:
        assert codes(asked, ground_for(asked, seconds=(theirs,))) == {"second-missing"}


def test_carbon_that_runs_takes_the_agent_out() -> None:
    ground = ground_for(copper(), running={"Carbon 1": "CARBON", "UV 1": "UV"})
    (stopped,) = stops(copper(), ground, regime_of("COPPER_FREE"))
    assert (stopped.code, "Carbon 1" in stopped.sentence) == ("device-on", True)
    assert "UV 1" not in stopped.sentence


def test_without_an_order_or_beyond_it() -> None:
    asked = copper()
    ground = ground_for(asked)
    assert ground.order is not None
    assert codes(asked, replace(ground, order=None)) == {"order-missing"}
    run_out = replace(ground.order, until=asked.at - HOUR)
    assert codes(asked, replace(ground, order=run_out)) == {"order-expired"}
    assert codes(asked, replace(ground, order=replace(ground.order, high=0.1))) == {"over-order"}


def test_an_unmeasured_water_takes_no_dose() -> None:
    assert codes(copper(), ground_for(copper(), litres=None)) == {"volume-unknown"}


@given(st.floats(min_value=1.06, max_value=1000))
def test_whatever_is_more_than_the_window_is_never_let_in(times: float) -> None:
    """For any factor beyond the window's end and what measuring leaves open."""
    asked = copper()
    over = replace(asked, amount=asked.amount * times * 0.20 / 0.18)
    assert "over-window" in codes(over, ground_for(asked, seconds=(second_to(over),)))


@given(st.sampled_from([BOTTLE, OTHER, UUID(int=99)]), st.floats(min_value=0.0, max_value=0.3))
def test_more_in_the_water_already_never_removes_a_stop(drum: UUID, level: float) -> None:
    asked = copper(drum=replace(copper().drum, id=drum))
    empty, fuller = ground_for(asked), ground_for(asked, level_low=level, level_high=level)
    assert codes(asked, empty) <= codes(asked, fuller)
