"""What is said before a dose, a water change or a meal is recorded."""

from dataclasses import replace

import PyCO2SYS
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.ammonium import emerson_fraction
from chemistry.domain import OutOfRange
from tanks.rules.buffering import buffered, ph_after
from tanks.rules.dosing import Contents, amount
from tanks.rules.exchanging import hints, left
from tanks.rules.free_ammonia import Given
from tanks.rules.meals import against_certified, becomes
from tanks.rules.values import Interval
from tanks.rules.weighing import Weighing


def weighed(purpose: str, contents: Contents, *, target: float, unit: str) -> Weighing:
    return Weighing(
        purpose=purpose,
        target=target,
        unit=unit,
        litres=400,
        contents=contents,
        amount=amount(contents=contents, rise=target, volume_l=400),
    )


def test_working_can_be_followed_on_paper() -> None:
    stock = Contents(substance="AMMONIUM_CHLORIDE", form="SOLUTION", strength=100)

    weighing = weighed("AMMONIA", stock, target=2, unit="mg/L-N")

    # 3.055 g NH4Cl (molar masses) at 100 g/L: 30.5 mL; 31 mL give 31/30.55 of 2.
    assert list(weighing.lines()) == [
        ("2 mg/L-N in 400 L", "3.05 g NH₄Cl"),
        ("At 100 g/L", "30.5 mL"),
        ("Rounded to what can be measured", "31 mL, gives 2.03 mg/L-N"),
    ]


def test_chloramine_leaves_ammonia_and_the_note_says_how_much() -> None:
    # 14.007 / 70.90 = 0.198 mg/L-N for each mg/L of chloramine as Cl2.
    thio = Contents(substance="SODIUM_THIOSULFATE", form="SOLID", strength=1)

    told = " ".join(weighed("DECHLORINATE", thio, target=3, unit="mg/L as Cl2").notes())

    assert "0.593 mg/L-N of ammonia is left" in told
    assert "7.0 mg of the pentahydrate" in told


def test_coarse_rounding_is_told() -> None:
    pure = Contents(substance="AMMONIUM_CHLORIDE", form="SOLID", strength=1)
    weighing = Weighing(
        purpose="AMMONIA",
        target=0.5,
        unit="mg/L-N",
        litres=7,
        contents=pure,
        amount=amount(contents=pure, rise=0.5, volume_l=7),
    )

    assert "weaker stock" in " ".join(weighing.notes())


def water(*, tan: float, ph: float) -> Given:
    return Given(
        tan=Interval(tan, tan),
        tan_by="PHOTOMETER",
        ph=Interval(ph, ph),
        ph_by="PROBE",
        ph_is_total=False,
        temperature=Interval(24, 24),
        salinity=None,
    )


def test_twice_the_alkalinity_is_three_tenths_of_ph() -> None:
    # Henderson-Hasselbalch at the same CO2: log10(2) = 0.301.
    assert ph_after(ph=7, alkalinity_meq_l=1, rise_meq_l=1) == pytest.approx(7.301, abs=1e-3)


def test_the_trap_of_the_old_tank_is_told_in_numbers() -> None:
    # Fresh water, 24 °C: Emerson et al. 1975 at pH 6.2 and at 6.2 + log10(11) = 7.24.
    found = buffered(water(tan=4, ph=6.2), alkalinity=Interval(0.2, 0.2), rise_meq_l=2)

    assert found is not None
    assert found.ph_after == pytest.approx(7.241, abs=1e-3)
    share = emerson_fraction(ph=7.2414, temperature_c=24)
    assert found.after.value.high == pytest.approx(4 * share, rel=1e-3)
    assert found.after.value.top / found.before.value.top > 9
    assert "Raise alkalinity in steps" in found.sentence


def test_in_sea_water_ph_rises_less_than_said_and_the_sentence_says_so() -> None:
    # PyCO2SYS: S 35, 25 °C, alkalinity raised from 2.3 to 4.3 mmol/kg at the same pCO2.
    first = PyCO2SYS.sys(par1=2300, par2=8.0, par1_type=1, par2_type=3, salinity=35, temperature=25)
    raised = PyCO2SYS.sys(
        par1=4300, par2=first["pCO2"], par1_type=1, par2_type=4, salinity=35, temperature=25
    )
    sea = replace(water(tan=1, ph=8.0), salinity=Interval(35, 35))

    found = buffered(sea, alkalinity=Interval(2.3, 2.3), rise_meq_l=2.0)

    assert found is not None
    assert 8.0 < raised["pH_total"] < found.ph_after - 0.02
    assert "This pH is an upper estimate" in found.sentence


def test_fresh_water_bears_no_word_of_borate() -> None:
    tap = replace(water(tan=4, ph=6.2), salinity=Interval(0.2, 0.2))

    for known in (tap, replace(tap, salinity=None)):
        found = buffered(known, alkalinity=Interval(0.2, 0.2), rise_meq_l=2)
        assert found is not None
        assert "borate" not in found.sentence


@pytest.mark.parametrize(("tan", "alkalinity"), [(0.0, 1.0), (2.0, 0.0)])
def test_nothing_is_said_without_ammonia_or_without_alkalinity(
    *, tan: float, alkalinity: float
) -> None:
    known = Interval(alkalinity, alkalinity)

    assert buffered(water(tan=tan, ph=7), alkalinity=known, rise_meq_l=1) is None


@given(
    level=st.floats(min_value=0, max_value=500),
    source=st.floats(min_value=0, max_value=500),
    share=st.floats(min_value=0.01, max_value=1),
)
def test_what_is_left_lies_between_water_and_source(
    level: float, source: float, share: float
) -> None:
    (one,) = left({"NITRATE": level}, {"NITRATE": source}, share=share)

    assert one.after is not None
    assert min(level, source) - 1e-9 <= one.after <= max(level, source) + 1e-9


def test_eighty_six_percent_brings_eighty_to_twenty_with_tap_at_ten() -> None:
    # f = (A - B) / (A - S) = 60 / 70 = 85.7 %.
    (one,) = left({"NITRATE": 80}, {"NITRATE": 10}, share=60 / 70)

    assert one.after == pytest.approx(20)


def test_unknown_source_leaves_an_unknown() -> None:
    (one,) = left({"NITRATE": 80}, {"NITRATE": None}, share=0.5)

    assert one.after is None


def test_thirty_percent_change_asks_for_thirty_percent_of_the_dose() -> None:
    # Redose after change: add target x V x f.
    lefts = list(left({"ALKALINITY": 2.5}, {"ALKALINITY": 0.5}, share=0.3))

    told = " ".join(hints(lefts, share=0.3, water_l=400))

    assert "down by 30 %: restore 30 % of its dose" in told
    # 0.6 meq/L lost in 400 L: 0.6 x 4 x 8.401 = 20.2 g NaHCO3.
    assert "20.2 g of sodium bicarbonate" in told


def test_twenty_grams_at_forty_five_percent() -> None:
    # Timmons & Ebeling 2013, 0.092: 0.83 g N; 0.83 mg/L in 1000 L.
    told = becomes(grams=20, protein_share=0.45, volume_l=1000)

    assert "0.828 g of total ammonia nitrogen: 0.828 mg/L-N in 1000 L" in told


def test_feed_of_pure_nothing_is_out_of_range() -> None:
    with pytest.raises(OutOfRange):
        becomes(grams=20, protein_share=0.001, volume_l=1000)


@pytest.mark.parametrize(
    ("protein_g", "certified", "warned"), [(4, 9, False), (5, 9, True), (50, None, False)]
)
def test_more_than_was_certified_is_warned_about(
    *, protein_g: float, certified: float | None, warned: bool
) -> None:
    told = list(
        against_certified(protein_g=protein_g, fed_protein_g=4.5, certified_protein_g=certified)
    )

    assert bool(told) is warned
