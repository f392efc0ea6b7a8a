"""What every calculation of the catalogue owes to whoever uses it."""

import importlib
import inspect
import json
import math
import pkgutil
import re

import pytest

from chemistry import calculator
from chemistry.calculator import (
    CALCULATIONS,
    Calculation,
    UnknownCalculation,
    answer,
    calculation,
    read,
)
from chemistry.calculator.description import described
from chemistry.calculator.plain_text import answer_text, list_text, question_text
from chemistry.calculator.terms import Choice, Input, Subject, offered
from tests.chemistry.calculator.told import ends, examples, in_unit, outcome

every = pytest.mark.parametrize("asked", CALCULATIONS, ids=lambda one: one.name)

# Where following the answer blindly can harm an animal or a person.
CAN_HURT = {
    Subject.AMMONIA,
    Subject.ALKALINITY,
    Subject.DISINFECTION,
    Subject.DOSING,
    Subject.FEEDING,
    Subject.SALINITY,
    Subject.TREATMENT,
    Subject.WATER_CHANGES,
}


def test_names_are_unique_and_in_kebab_case() -> None:
    names = [one.name for one in CALCULATIONS]

    assert len(set(names)) == len(names)
    assert [name for name in names if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name)] == []


def test_every_calculation_of_every_subject_is_gathered() -> None:
    modules = [
        importlib.import_module(f"{calculator.__name__}.{found.name}")
        for found in pkgutil.iter_modules(calculator.__path__)
    ]
    theirs = {one.name for module in modules for one in getattr(module, "CALCULATIONS", ())}

    assert theirs == {one.name for one in CALCULATIONS}


@every
def test_it_solves_its_own_examples(asked: Calculation) -> None:
    made = answer(asked, examples(asked))

    assert made.values
    assert set(made.values) <= {output.name for output in asked.outputs}
    assert all(math.isfinite(value) for value in made.values.values())
    assert made.working


@every
def test_it_says_whose_formula_it_is(asked: Calculation) -> None:
    assert asked.question.endswith("?")
    assert 1 <= len(asked.formula.splitlines()) <= 4
    assert asked.sources
    assert all(source.text and source.mark for source in asked.sources)
    assert asked.cautions or asked.subject not in CAN_HURT
    assert asked.cautions or not asked.doses


@every
def test_its_words_fit_together(asked: Calculation) -> None:
    names = [ask.name for ask in asked.asks]
    keywords = inspect.signature(asked.solve).parameters.values()
    outputs = [output.name for output in asked.outputs]

    assert len(set(names)) == len(names)
    assert len(set(outputs)) == len(outputs)
    assert {one.name for one in keywords} == set(names)
    assert set(asked.arguments.values()) <= set(names)
    assert all(output.figures >= 1 for output in asked.outputs)
    if asked.doses:
        assert asked.doses.amount in outputs
        assert asked.doses.rise in {"", *outputs, *names}


@every
def test_what_may_be_left_out_is_left_out(asked: Calculation) -> None:
    required = {
        ask.name: ask.example
        for ask in asked.asks
        if not ask.default and (isinstance(ask, Choice) or not ask.optional)
    }

    assert answer(asked, required).values


@every
def test_each_unit_it_offers_means_the_same_quantity(asked: Calculation) -> None:
    canonical = read(asked, examples(asked))
    for ask in asked.asks:
        value = canonical[ask.name]
        if not isinstance(ask, Input) or not isinstance(value, float):
            continue
        assert ask.units == () or ask.units[0] == ask.unit
        for unit in offered(ask):
            told = examples(asked) | {ask.name: in_unit(ask, value, unit)}
            assert read(asked, told)[ask.name] == pytest.approx(value, rel=1e-9, abs=1e-9), unit


@every
def test_at_the_ends_of_its_ranges_it_answers_or_says_what_to_mend(asked: Calculation) -> None:
    known = {"", *(ask.name for ask in asked.asks)}
    for ask in asked.asks:
        for end in ends(ask):
            made, faults = outcome(asked, examples(asked) | {ask.name: end})
            assert made or faults
            assert made is None or all(map(math.isfinite, made.values.values()))
            assert faults.keys() <= known
            assert all(sentence.endswith((".", "…")) for sentence in faults.values())


@every
def test_each_answer_and_description_is_plain_json(asked: Calculation) -> None:
    made = answer(asked, examples(asked)).as_json()

    assert json.loads(json.dumps(made, allow_nan=False)) == made
    assert json.loads(json.dumps(described(asked), allow_nan=False)) == described(asked)


@every
def test_its_text_shows_the_answer_first_and_each_ask(asked: Calculation) -> None:
    made = answer(asked, examples(asked))
    lines = answer_text(made).splitlines()
    explained = question_text(asked)

    assert lines[0] == asked.question
    assert made.shown(asked.outputs[0]) in lines[1]
    assert asked.name in list_text(CALCULATIONS)
    assert all(f"{ask.name}: {ask.label}" in explained for ask in asked.asks)
    assert all(f"{source.text} [{source.mark}]" in explained for source in asked.sources)


@every
def test_its_choices_offer_their_default_and_example(asked: Calculation) -> None:
    for ask in asked.asks:
        if isinstance(ask, Choice):
            values = [option.value for option in ask.options]
            assert len(set(values)) == len(values)
            assert ask.example in values
            assert ask.default in {"", *values}


def test_a_misspelt_name_leads_to_its_neighbour() -> None:
    assert calculation("unionised-ammonia").name == "unionised-ammonia"
    with pytest.raises(UnknownCalculation, match="Did you mean unionised-ammonia"):
        calculation("unionized-ammonia")
