"""What the calculations about tests themselves say; figures by hand or from the printed tables."""

import pytest

from chemistry.calculator import BadInput, answer, calculation
from chemistry.calculator.plain_text import answer_text

SEVEN = "0.11 0.09 0.10 0.12 0.08 0.10 0.11"


def refused(name: str, **told: str) -> dict[str, str]:
    with pytest.raises(BadInput) as refusal:
        answer(calculation(name), told)
    return refusal.value.faults


def notes(name: str, **told: str) -> str:
    return " ".join(answer(calculation(name), told).notes)


@pytest.mark.parametrize(
    ("second", "says"),
    [
        ("1.2 mg/L as N", "agree within their doubts"),
        # 0.4 over the root of 0.1² + 0.14² is 2.3; one of 1.0 over that of 0.1² + 0.2² is 4.5.
        ("1.4 mg/L as N", "Questionable"),
        ("2.0 mg/L as N", "The two disagree"),
        ("1.2879 mg/L as NH4", "agree within their doubts"),
    ],
)
def test_two_kits_agree_question_or_disagree(second: str, says: str) -> None:
    assert says in notes("kit-comparison", first="1.0 mg/L as N", second=second)


def test_kits_without_any_doubt_cannot_be_compared() -> None:
    sure = {"first_doubt": "0", "second_doubt": "0"}

    found = refused("kit-comparison", first="1 mg/L as N", second="2 mg/L as N", **sure)

    assert list(found) == ["second_doubt"]


def test_a_step_alone_is_doubt_enough() -> None:
    made = answer(
        calculation("kit-comparison"),
        {"first": "1 mg/L as N", "first_doubt": "0", "first_step": "0.25 mg/L as N"}
        | {"second": "1 mg/L as N", "second_doubt": "0"},
    )

    assert made.values["doubt"] == pytest.approx(0.25 / 12**0.5)


def test_groups_are_charted_by_range_or_by_deviation() -> None:
    # Three groups of five, each with mean range 0.4 and mean s 0.158114 about 1.0.
    readings = "0.8 0.9 1.0 1.1 1.2 " * 3
    asked = calculation("control-chart")

    by_range = answer(asked, {"readings": readings, "size": "5"})
    by_s = answer(asked, {"readings": readings, "size": "5", "scatter": "deviation"})

    # Printed A2(5) 0.577, D4(5) 2.115, A3(5) 1.427, B4(5) 2.089.
    assert by_range.values["upper"] == pytest.approx(1 + 0.577 * 0.4, abs=5e-4)
    assert by_range.values["scatter_upper"] == pytest.approx(2.115 * 0.4, abs=5e-4)
    assert by_s.values["upper"] == pytest.approx(1 + 1.427 * 0.158114, abs=5e-4)
    assert by_s.values["scatter_upper"] == pytest.approx(2.089 * 0.158114, abs=5e-4)


def test_groups_that_are_not_full_are_refused_beside_their_size() -> None:
    assert list(refused("control-chart", readings="1 2 3 4 5", size="2")) == ["size"]
    assert list(refused("control-chart", readings="1 2 3", size="3")) == ["size"]


def test_readings_all_alike_show_no_scatter() -> None:
    assert "show no scatter" in notes("control-chart", readings="1 1 1 1")
    assert list(refused("detection-limit", spiked="0.1 " * 7)) == ["spiked"]


def test_one_far_control_only_warns() -> None:
    said = notes("westgard", readings="1.00 1.25", mean="1.0", deviation="0.1")

    assert said.startswith("A warning only")
    assert "Reject" in notes("westgard", readings="1.31", mean="1.0", deviation="0.1")
    assert "R-4s" not in notes(
        "westgard", readings="1.0 1.0", mean="1.0", deviation="0.1", per_run="2"
    )


def test_a_limit_tells_whether_the_spike_suited_and_what_the_blanks_did() -> None:
    told = {"spiked": SEVEN}
    none = answer(calculation("detection-limit"), told | {"blanks": "0 " * 7})

    assert "Without blanks" in notes("detection-limit", **told)
    assert "No blank read above zero" in " ".join(none.notes)
    assert "from the blanks                   none" in answer_text(none)
    assert "The blanks set the limit" in notes(
        "detection-limit", **told, blanks="0.05 0.02 0.06 0.03 0.04 0.05 0.03"
    )
    assert "repeat with a spike" in notes(
        "detection-limit", spiked="1.11 1.09 1.10 1.12 1.08 1.10 1.11"
    )


def test_what_a_recovery_or_a_pair_outside_the_usual_means_is_said() -> None:
    spike = {"unspiked": "1", "standard": "100", "sample": "95 mL", "added": "5 mL"}

    assert "Outside the 80 to 120 %" in notes("spike-recovery", spiked="3", **spike)
    assert notes("spike-recovery", spiked="5.9", **spike) == ""
    assert "repeat both" in notes("duplicates", first="1", second="1.5")
    assert notes("duplicates", first="0.9", second="1.1") == ""  # 20 % exactly
    assert list(refused("duplicates", first="0", second="0")) == ["second"]


def test_counts_are_whole_and_too_few_are_called_rough() -> None:
    assert list(refused("share-chart", counts="1.5 2", size="50")) == ["counts"]
    assert list(refused("share-chart", counts="51 2", size="50")) == ["counts"]
    assert "too rough" in notes("share-chart", counts="1 0 2 0", size="50")


def test_drift_is_told_with_its_way_and_its_beginning() -> None:
    told = {"target": "0", "deviation": "1"}

    up = notes("slow-drift", readings="0 " * 5 + "1 " * 12, **told)
    down = notes("slow-drift", readings="0 " * 5 + "-1 " * 12, **told)

    assert up == "Drifted up: shown at reading 16, begun about reading 6."
    assert down.startswith("Drifted down")
    assert notes("slow-drift", readings="0 1 0 -1", **told) == "No drift so far."


def test_free_ammonia_is_as_sure_as_its_parts() -> None:
    told = {"tan": "1 mg/L as N", "ph": "8", "scale": "NBS", "temperature": "25", "salinity": "0"}
    made = answer(calculation("free-ammonia-error"), told)
    exact = {"tan_doubt": "0", "ph_doubt": "0", "temperature_doubt": "0"}

    # Computed: 24.2 % relative; 0.05366 of total ammonia.
    assert made.values["relative"] == pytest.approx(24.2, abs=0.1)
    assert made.values["nh3"] == pytest.approx(0.05366, abs=1e-5)
    assert "from pH (8" in " ".join(made.notes)
    assert "No doubt was given" in notes("free-ammonia-error", **told, **exact)
    assert list(refused("free-ammonia-error", **told, ph_doubt="2")) == ["ph_doubt"]
