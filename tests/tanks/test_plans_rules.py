"""The plan's figures, checked by stoichiometry: NH4Cl 53.49 g/mol, N 14.007, NaHCO3 84.007."""

from decimal import Decimal

import pytest

from tanks.rules.plans import Stock, first_dose, plan_of
from tanks.rules.preparation import Appliance
from tests.tanks.weighed import terms_of

SALT = Stock(name="Ammonium chloride", is_solution=False, strength=1.0)
SOLUTION = Stock(name="Stock 50", is_solution=True, strength=50.0)


def test_first_dose_in_grams_and_what_it_really_makes() -> None:
    """2 mg/L-N x 380 L x 53.49 / 14.007 = 2.902 g; a pocket scale shows 2.90 g."""
    dose = first_dose(SALT, litres=380, target_mg_l_n=2.0)

    assert (dose.grams, dose.millilitres) == (Decimal("2.90"), None)
    assert dose.implied_mg_l_n == pytest.approx(2.90 * 14.007 / 53.49 * 1000 / 380, rel=1e-4)


def test_first_dose_in_millilitres_of_the_named_stock() -> None:
    """2 mg/L-N x 400 L = 3.055 g of NH4Cl, in 50 g/L that is 61.1 mL; a syringe shows 61."""
    dose = first_dose(SOLUTION, litres=400, target_mg_l_n=2.0)

    assert (dose.grams, dose.millilitres) == (None, Decimal(61))
    assert dose.implied_mg_l_n == pytest.approx(61 * 50 / 1000 * 14.007 / 53.49 * 2.5, rel=1e-4)
    assert "61 mL of Stock 50 (50 g/L)" in dose.sentence


def test_plan_of_a_seeded_water() -> None:
    uv = Appliance(name="UV 1", kind="UV", is_on=True)
    heater = Appliance(name="Heater", kind="HEATER", is_on=True)

    plan = plan_of(
        litres=380,
        stock=SALT,
        seed="CULTURE",
        feed_g_per_day=10,
        protein_share=0.45,
        appliances=[uv, heater],
        terms=terms_of(),
    )

    assert plan.devices_off == ("UV 1",)
    assert plan.challenge_mg_l_n == 2.0
    assert plan.alkalinity.need_meq_l == pytest.approx(6 * 2 / 14.007)
    assert plan.alkalinity.sodium_bicarbonate_g == pytest.approx(
        6 * 2 / 14.007 * 380 * 0.084007, rel=1e-4
    )
    # Culture at least for the whole volume, rounded up: common practice, no source.
    assert "for 400 L or more" in plan.seeding
    assert {test.parameter: test.every_days for test in plan.tests} == {
        "TAN": 1,
        "NITRITE": 1,
        "PH": 1,
        "ALKALINITY": 2,
        "NITRATE": 7,
    }


def test_an_unseeded_water_keeps_its_devices_on() -> None:
    plan = plan_of(
        litres=100,
        stock=SALT,
        seed="NONE",
        feed_g_per_day=1,
        protein_share=0.45,
        appliances=[Appliance(name="UV 1", kind="UV", is_on=True)],
        terms=terms_of(),
    )

    assert plan.devices_off == ()
    assert "several weeks" in plan.seeding
