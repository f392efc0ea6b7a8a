import pytest

from facility.rules.pins import fault_of


@pytest.mark.parametrize("pin", ["7294", "0007", "12345679", "90210", "1223"])
def test_a_pin_of_four_to_eight_figures_will_do(pin: str) -> None:
    assert fault_of(pin) is None


@pytest.mark.parametrize(
    "pin", ["", "123", "729401836", "72 94", "seven", "７２９４", "-729", "7294\n"]
)
def test_what_is_not_four_to_eight_figures_is_told_so(pin: str) -> None:
    assert fault_of(pin) == "Choose 4 to 8 figures."


@pytest.mark.parametrize("pin", ["0000", "99999999", "1234", "4321", "34567", "7890", "0987"])
def test_runs_and_repetitions_are_the_first_that_anybody_tries(pin: str) -> None:
    """Repetitive or sequential characters: NIST SP 800-63B; from memory, unverified."""
    assert fault_of(pin) == "Choose one that is neither a run such as 1234 nor one figure repeated."
