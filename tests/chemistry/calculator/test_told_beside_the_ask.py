"""What cannot be answered is told beside the ask; what may harm is cautioned."""

import pytest

from chemistry.calculator import answer, calculation
from tests.chemistry.calculator.told import examples, outcome


# What would be guessed, or cannot be, is a sentence beside the ask it concerns.
@pytest.mark.parametrize(
    ("name", "changed", "ask", "says"),
    [
        ("ammonium-chloride-dose", {"rise": "2"}, "rise", "needs its basis"),
        ("ammonium-chloride-dose", {"rise": "2 mg/L"}, "rise", "basis"),
        ("ammonium-chloride-dose", {"volume": "100 gal"}, "volume", "gal_us or gal_imp"),
        ("dechlorinate", {"chlorine": "3 ppm"}, "chlorine", "mg/L as Cl2"),
        ("dechlorinate", {"kind": ""}, "kind", "choose"),
        ("salinity-from-gravity", {"scale": ""}, "scale", "choose"),
        ("salinity-from-gravity", {"gravity": "1.0345"}, "gravity", "outside"),
        ("change-salinity", {"target": "36", "source": "0"}, "target", "must lie between"),
        ("water-changes-to-target", {"target": "5"}, "target", "must lie between"),
        ("water-change-to-hold", {"limit": "10"}, "limit", "No change holds this"),
        ("make-stock", {"salt": "sodium bicarbonate"}, "strength", "dissolved at 10 °C"),
        ("thin-stock", {"wanted": "200 g/L"}, "wanted", "share of the strong"),
        ("other-salt-form", {"wanted": "sodium chloride"}, "wanted", "cannot stand in"),
        ("copper-dose", {"rise": "150 mg/L"}, "rise", "outside"),
        ("lying-cylinder-volume", {"depth": "61 cm"}, "depth", "share of the diameter"),
        ("net-volume", {"gross": "5 L"}, "gross", "displaced volume"),
        ("salinity-ramp", {"step": "0.1"}, "step", "days"),
        ("raise-salinity-with-salt", {"target": "10"}, "target", "cannot lower"),
        ("bow-front-volume", {"centre": "30 cm"}, "centre", "bow"),
    ],
)
def test_it_says_what_to_mend_beside_the_ask(
    name: str, changed: dict[str, str], ask: str, says: str
) -> None:
    asked = calculation(name)
    made, faults = outcome(asked, examples(asked) | changed)

    assert made is None
    assert says in faults[ask]


def test_every_ordered_bath_defers_to_the_veterinarian_and_the_law() -> None:
    baths = (
        "copper-dose",
        "copper-product-dose",
        "formalin-dose",
        "praziquantel-dose",
        "chloroquine-dose",
        "low-salinity-gravity",
    )
    for name in baths:
        said = " ".join(calculation(name).cautions)
        assert "veterinarian" in said
        assert "law" in said


def test_bleach_is_for_what_is_empty() -> None:
    said = " ".join(calculation("bleach-bath").cautions)

    assert "never where animals are" in said
    assert "acids" in said
    assert "ammonia" in said


def test_only_what_the_dose_log_knows_becomes_a_dose_and_in_the_form_it_says() -> None:
    assert calculation("other-neutraliser").doses is None
    dosed = calculation("dechlorinate")
    assert dosed.doses is not None
    assert dosed.doses.substance == "sodium thiosulfate"
    assert "crystals" in dosed.outputs[0].label


def test_a_strip_that_cannot_see_the_limit_is_said_so() -> None:
    made = answer(
        calculation("chlorine-limit"),
        {"chlorine": "0 mg/L as Cl2", "smallest": "0.5 mg/L as Cl2", "water": "fresh"},
    )

    assert any("no evidence" in note for note in made.notes)
