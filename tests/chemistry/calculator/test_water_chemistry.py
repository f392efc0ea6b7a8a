"""Calculations of ammonia, oxygen, alkalinity, carbon dioxide and pH against printed numbers."""

from collections.abc import Mapping

import pytest

from chemistry.calculator import Answer, BadInput, answer, calculation
from chemistry.calculator.terms import Choice
from tests.chemistry.calculator.told import examples

SEA = {"temperature": "25 degC", "salinity": "35"}
FRESH = {"temperature": "25 degC", "salinity": "0"}


def _made(name: str, **told: str) -> Answer:
    return answer(calculation(name), told)


def _values(name: str, **told: str) -> Mapping[str, float]:
    return _made(name, **told).values


def test_each_pH_scale_has_its_own_fit() -> None:  # noqa: N802 - pH is written so
    def method(scale: str) -> str:
        return _made("unionised-ammonia", tan="1 mg/L as N", ph="8.1", scale=scale, **SEA).method

    assert [method(scale) for scale in ("NBS", "total", "sea-water", "free")] == [
        "US EPA 1989",
        "Clegg & Whitfield 1995",
        "Yao & Millero 1995",
        "Clegg & Whitfield 1995",
    ]


@pytest.mark.parametrize(
    "name", ["unionised-ammonia", "carbon-dioxide", "raise-ph", "ph-scales", "ph-in-air"]
)
def test_the_scale_of_pH_is_asked(name: str) -> None:  # noqa: N802 - pH is written so
    asked = calculation(name)
    scale = next(ask for ask in asked.asks if ask.name == "scale")

    assert isinstance(scale, Choice)
    assert not scale.default
    with pytest.raises(BadInput, match="scale"):
        answer(asked, {key: text for key, text in examples(asked).items() if key != "scale"})


def test_fresh_limits_are_first_in_nitrogen_and_salt_limits_first_in_nh3() -> None:
    # Found: the two documents' own bases; 1.9 (Oregon's table) and 5.0 mg/L (EPA's table).
    fresh, salt = calculation("fresh-ammonia-limits"), calculation("salt-ammonia-limits")

    assert fresh.outputs[0].unit == "mg/L as N"
    assert salt.outputs[0].unit == "mg/L as NH3"
    made = _values("fresh-ammonia-limits", ph="7", temperature="20 degC", salmonids="present")
    assert made["acute"] == pytest.approx(16.76, abs=0.01)
    assert made["chronic"] == pytest.approx(1.887, abs=0.001)
    assert made["four_day"] == pytest.approx(4.72, abs=0.01)
    sea = _values("salt-ammonia-limits", ph="8", temperature="25 degC", salinity="30")
    assert sea["acute_as_nh3"] == pytest.approx(5.010, abs=0.001)
    assert sea["acute"] == pytest.approx(4.120, abs=0.001)


def test_a_reading_is_held_against_the_limits_in_its_own_basis() -> None:
    said = _made(
        "salt-ammonia-limits", ph="8", temperature="25 degC", salinity="30", tan="5.0 mg/L as NH3"
    ).notes

    # 5.0 as NH3 is 4.11 as N: just within the 1-hour limit of 4.12, over the 4-day one of 0.62.
    assert "within it" in said[0]
    assert "over it" in said[1]


def test_older_limits_are_named_as_older() -> None:
    made = _made("other-ammonia-limits", ph="8", temperature="25 degC")

    assert made.values["chronic"] == pytest.approx(1.24, abs=0.005)
    assert "replaced in 2013" in made.notes[0]


def test_one_kit_number_in_every_basis() -> None:
    made = _values("nitrogen-bases", amount="10 mg/L as N")

    # Computed: 44.27 as nitrate; 714 µmol/L.
    assert made["no3"] == pytest.approx(44.27, abs=0.01)
    assert made["molar"] == pytest.approx(713.9, abs=0.1)
    assert _values("nitrogen-bases", amount="44.27 mg/L as NO3")["n"] == pytest.approx(10, abs=1e-3)


def test_a_bare_amount_of_nitrogen_is_refused() -> None:
    with pytest.raises(BadInput, match="basis"):
        _made("nitrogen-bases", amount="10 mg/L")


def test_oxygen_by_altitude_and_by_barometer() -> None:
    # Computed: 7.300 mg/L at 1000 m; 8.358 at 700 mm Hg and 20 °C.
    high = _values("oxygen-saturation", **FRESH, altitude="1000 m")
    thin = _values("oxygen-saturation", temperature="20 degC", salinity="0", pressure="700 mmHg")
    feet = _values("oxygen-saturation", **FRESH, altitude="3280.84 ft")

    assert high["saturation"] == pytest.approx(7.300, abs=1e-3)
    assert thin["saturation"] == pytest.approx(8.358, abs=1e-3)
    assert feet["saturation"] == pytest.approx(7.300, abs=1e-3)


def test_an_oxygen_reading_is_held_against_the_limit_of_its_fauna() -> None:
    made = _made("oxygen-percent", oxygen="2.5 mg/L", **FRESH, fauna="warm water, older fish only")

    assert made.values["percent"] == pytest.approx(100 * 2.5 / 8.263, abs=0.02)
    assert "under the 1-day minimum of 3 mg/L" in made.notes[0]


def test_one_alkalinity_in_every_unit() -> None:
    made = _values("alkalinity-units", alkalinity="1 meq/L")

    # Computed from molar masses and definitions.
    assert made["dkh"] == pytest.approx(2.80385, abs=1e-3)
    assert made["caco3"] == pytest.approx(50.043, abs=1e-3)
    assert made["grains"] == pytest.approx(50.043 / 17.118, abs=1e-3)
    for unit in ("2.80385 dKH", "50.043 mg/L CaCO3", "5.0043 °fH", "3.5108 °Clark", "2.92341 gpg"):
        again = _values("alkalinity-units", alkalinity=unit)
        assert again["meq_l"] == pytest.approx(1, rel=2e-4), unit


def test_doses_for_one_german_degree() -> None:
    # Computed: 2.996 and 1.890 g for 100 L.
    for name, grams in (("bicarbonate-dose", 2.996), ("carbonate-dose", 1.890)):
        asked = calculation(name)
        assert _values(name, rise="1 dKH", volume="100 L")["amount"] == pytest.approx(
            grams, abs=1e-3
        )
        assert asked.doses is not None
        assert asked.doses.raises == "alkalinity"


def test_a_weighed_dose_says_what_it_did() -> None:
    made = _values("alkalinity-from-dose", substance="carbonate", weighed="5.299 g", volume="100 L")

    assert made["rise"] == pytest.approx(1, abs=1e-3)


def test_carbon_dioxide_beside_the_rule_of_thumb() -> None:
    # Computed: PHREEQC 13.51 mg/L; the rule of thumb says 12.
    made = _made("carbon-dioxide", alkalinity="4 dKH", ph="7.0", scale="NBS", **FRESH)

    assert made.values["co2"] == pytest.approx(13.51, abs=0.02)
    assert any("gives 12 mg/L" in note for note in made.notes)
    assert "calcite" not in made.values


def test_aeration_tends_to_the_tabled_ph() -> None:
    # Computed: PHREEQC 8.322 for 4 dKH under 420 µatm.
    made = _values("ph-in-air", alkalinity="4 dKH", scale="NBS", **FRESH)

    assert made["ph"] == pytest.approx(8.322, abs=0.003)


def test_the_alkalinity_of_a_ph_is_the_way_back() -> None:
    made = _values("alkalinity-for-ph", ph="8.322", scale="NBS", alkalinity="1 dKH", **FRESH)

    assert made["needed"] == pytest.approx(4 / 2.80385, rel=0.01)
    assert made["rise"] == pytest.approx(3 / 2.80385, rel=0.02)


def test_alkalinity_and_carbon_make_the_tabled_ph() -> None:
    # Computed: PyCO2SYS 8.0459 for 2300 and 2000 µmol/kg at S 35, 25 °C; density 1.02334.
    made = _values(
        "ph-from-carbon", alkalinity="2.35369 meq/L", carbon="2.04669 mmol/L", scale="total", **SEA
    )

    assert made["ph"] == pytest.approx(8.0459, abs=2e-4)
    assert made["pressure"] == pytest.approx(396.96, abs=0.1)


def test_bicarbonate_lowers_a_sea_waters_ph_and_says_so() -> None:
    # Computed: PyCO2SYS 7.934, 8.276, 8.548 for 500 µmol/kg.
    made = _made(
        "ph-after-alkalinity", alkalinity="2.35369 meq/L", ph="8.0", scale="total",
        rise="0.51167 meq/L", **SEA,
    )  # fmt: skip

    assert made.values["bicarbonate"] == pytest.approx(7.934, abs=1e-3)
    assert made.values["carbonate"] == pytest.approx(8.276, abs=1e-3)
    assert made.values["hydroxide"] == pytest.approx(8.548, abs=1e-3)
    assert any("lowers" in caution for caution in calculation("ph-after-alkalinity").cautions)


def test_nitrification_takes_ph_and_alkalinity() -> None:
    made = _values(
        "ph-after-nitrification", alkalinity="2.35369 meq/L", ph="8.0", scale="total",
        oxidised="1.02334 mg/L as N", **SEA,
    )  # fmt: skip

    # Computed: PyCO2SYS 7.712 for 1 mg/kg.
    assert made["closed"] == pytest.approx(7.712, abs=0.001)
    assert made["left"] == pytest.approx(2.35369 - 1.02334 * 2 / 14.007, abs=1e-4)


def test_a_filter_that_would_run_out_of_alkalinity_is_a_sentence() -> None:
    with pytest.raises(BadInput) as refusal:
        _made(
            "ph-after-nitrification", alkalinity="0.3 meq/L", ph="7", scale="NBS",
            oxidised="8 mg/L as N", **FRESH,
        )  # fmt: skip

    assert refusal.value.faults.keys() == {"alkalinity"}


def test_raising_ph_shows_free_ammonia_before_and_after_and_the_order() -> None:
    made = _made(
        "raise-ph", tan="1.5 mg/L as N", ph="6.8", scale="NBS", alkalinity="0.6 meq/L",
        rise="0.5 meq/L", volume="400 L", **FRESH,
    )  # fmt: skip
    values = made.values

    assert values["nh3_now"] < values["nh3_bicarbonate"] < values["nh3_bicarbonate_aired"]
    assert values["nh3_bicarbonate"] < values["nh3_carbonate"]
    # 400 L x 0.5 meq/L x 84.006 mg/meq.
    assert values["bicarbonate_amount"] == pytest.approx(16.80, abs=0.01)
    # The limit, 0.019 mg/L as NH3, over the highest share.
    highest = values["nh3_bicarbonate_aired"] / 1.5
    assert values["tan_at_most"] == pytest.approx(0.019 * 0.82244 / highest, rel=1e-3)
    order = [note.split()[0] for note in made.notes]
    assert order == ["Lower", "Below", "Give", "Aerate", "Measure", "Do", "Fresh"]


def test_a_brackish_meter_reading_is_flagged_as_interpolated() -> None:
    told = {
        "tan": "0.5 mg/L as N", "ph": "7.6", "alkalinity": "1.5 meq/L", "rise": "0.5 meq/L",
        "volume": "400 L", "temperature": "25 degC", "salinity": "8",
    }  # fmt: skip

    assert any("interpolation" in note for note in _made("raise-ph", **told, scale="NBS").notes)
    assert not any(
        "interpolation" in note for note in _made("raise-ph", **told, scale="total").notes
    )


def test_an_electrode_is_judged_by_its_buffers_at_their_temperature() -> None:
    made = _values(
        "electrode-slope", first="technical 7.00", first_mv="0 mV", second="phthalate 4.01",
        second_mv="177 mV", buffer_temperature="25 degC",
    )  # fmt: skip

    # 177 / (2.99 x 59.159).
    assert made["slope"] == pytest.approx(100 * 177 / (2.99 * 59.159), abs=0.01)
    assert made["offset"] == pytest.approx(0, abs=1e-9)


def test_two_buffers_alike_are_a_sentence() -> None:
    with pytest.raises(BadInput, match="1 pH apart"):
        _made(
            "electrode-slope", first="technical 7.00", first_mv="0 mV", second="phosphate 6.86",
            second_mv="9 mV", buffer_temperature="25 degC",
        )  # fmt: skip


def test_a_buffer_beyond_its_table_is_a_sentence_beside_its_temperature() -> None:
    with pytest.raises(BadInput) as refusal:
        _made("buffer-ph", buffer="carbonate 10.01", buffer_temperature="38 degC")

    assert refusal.value.faults.keys() == {"buffer_temperature"}


def test_millivolts_of_the_second_buffer_mean_its_ph() -> None:
    told = {
        "first": "technical 7.00", "first_mv": "-3 mV", "second": "technical 10.01",
        "second_mv": "-175 mV", "buffer_temperature": "25 degC", "temperature": "25 degC",
    }  # fmt: skip

    assert _values("ph-from-millivolts", **told, reading="-175 mV")["ph"] == pytest.approx(10.01)


def test_a_sea_water_ph_on_all_four_scales() -> None:
    made = _values("ph-scales", ph="8.1", scale="total", **SEA)

    # Computed: PyCO2SYS: +0.137, +0.108, -0.010.
    assert made["nbs"] == pytest.approx(8.237, abs=1e-3)
    assert made["free"] == pytest.approx(8.2077, abs=1e-3)
    assert made["seawater"] == pytest.approx(8.0903, abs=1e-3)
