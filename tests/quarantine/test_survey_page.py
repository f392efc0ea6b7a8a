"""The survey page and command: exact, in words, "impossible" when it is."""

import json
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from quarantine.rules.survey import Design
from quarantine.rules.survey_words import survey_told
from tests.cast import House


def _asked(**options: Any) -> dict[str, Any]:
    out = StringIO()
    call_command("survey", json=True, stdout=out, **options)
    found: dict[str, Any] = json.loads(out.getvalue())
    return found


@pytest.mark.parametrize(
    ("population", "prevalence", "sensitivity", "size"),
    [
        # Computed: standards of sampling, T1 and T5.
        (100, 0.05, 1.0, 45),
        (40, 0.10, 0.8, 26),
        (20, 0.10, 0.8, 20),
        (10, 0.10, 0.8, "impossible"),
    ],
)
def test_the_command_answers_with_the_size_or_says_impossible(
    population: int, prevalence: float, sensitivity: float, size: object
) -> None:
    told = _asked(population=population, prevalence=prevalence, sensitivity=sensitivity)

    assert told["sample_size"] == size


def test_the_cut_point_is_said_without_ambiguity() -> None:
    """T8: the published help text counts it one too low."""
    told = _asked(population=5000, prevalence=0.05, sensitivity=0.9, specificity=0.98)

    assert told["at_that_size"]["fails_at_positives"] == 9
    assert "8 or fewer positive passes, 9 fails." in told["sentences"]


def test_rounding_up_and_the_meaning_are_said() -> None:
    """By hand: of 31 of 50, three affected, 1 - 19·18·17/(50·49·48) = 0.9506."""
    told = survey_told(Design(population=50, prevalence=0.05))

    assert told.sentences[0] == "5 % of 50 are d = 3 animals, 2.5 rounded up."
    assert told.sentences[1] == (
        "If it were present in 3 animals or more (5 % or more), this sample would have found it "
        "with probability 0.9506."
    )
    exact = survey_told(Design(population=100, prevalence=0.07))
    assert exact.sentences[0] == "7 % of 100 are d = 7 animals."


def test_no_answer_ever_promises_freedom() -> None:
    for sensitivity in (1.0, 0.5):
        for specificity in (1.0, 0.9):
            for population in (10, 500, None):
                design = Design(
                    population=population,
                    prevalence=0.1,
                    sensitivity=sensitivity,
                    specificity=specificity,
                )
                told = survey_told(design, chosen_size=5)
                text = " ".join((told.answer, *told.sentences)).lower()
                assert "free of" not in text
                assert "healthy" not in text


def test_rounds_add_up_to_a_belief_and_never_to_certainty() -> None:
    """T10: ten rounds that find it with .4 each: one of five animals, two of them affected."""
    told = _asked(population=5, prevalence=0.4, chosen=1, rounds=10, prior=0.5, introduction=0.01)

    assert told["chosen"]["found_with_probability"] == pytest.approx(0.4)
    assert told["beliefs_after_each_round"][0] == pytest.approx(0.6203008, abs=5e-8)
    assert told["beliefs_after_each_round"][9] == pytest.approx(0.9785045, abs=5e-8)
    assert "After 10 negative rounds in a row" in told["sentences"][-1]


@pytest.mark.parametrize(
    "options",
    [
        {"prevalence": 0.0},
        {"prevalence": 0.1, "confidence": 1.0},
        {"prevalence": 0.1, "sensitivity": 0.4, "specificity": 0.6},
        {"prevalence": 0.1, "population": 0},
        {"prevalence": 0.1, "population": 10, "chosen": 11},
        {"prevalence": 0.1, "rounds": 0},
        {"prevalence": 0.1, "rounds": 3, "prior": 1.5},
    ],
)
def test_what_cannot_be_asked_is_refused(options: dict[str, Any]) -> None:
    with pytest.raises(CommandError):
        call_command("survey", **options)


@pytest.mark.django_db
def test_the_page_answers_in_words(house: House, client: Client) -> None:
    client.force_login(house.ana)
    asked = {
        "population": "10",
        "prevalence": "10",
        "confidence": "95",
        "sensitivity": "90",
        "specificity": "100",
        "herd_specificity": "95",
        "chosen": "4",
        "rounds": "3",
    }

    blank = client.get(reverse("quarantine:survey"))
    told = client.get(reverse("quarantine:survey"), asked)
    wrong = client.get(reverse("quarantine:survey"), asked | {"sensitivity": "0", "chosen": "11"})

    assert "Fill in what you know" in blank.content.decode()
    text = told.content.decode()
    assert "Impossible: no sample of these animals reaches 95 %" in text
    assert "Even all 10 tested would have found it with probability 0.9000 only." in text
    assert "A negative sample never proves that something is absent." in text
    assert "After 3 negative rounds in a row" in text
    assert wrong.status_code == 422
