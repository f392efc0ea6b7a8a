"""Whatever is typed gives an answer or sentences, never a traceback and never NaN."""

import json
from collections.abc import Callable
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from chemistry.calculator import CALCULATIONS, Calculation
from chemistry.calculator.terms import Ask, Choice, Input, Series, offered
from tests.chemistry.calculator.told import outcome

NUMBERS = st.floats(allow_nan=True, allow_infinity=True).map(str) | st.integers().map(str)
UNITS = st.sampled_from(
    ["", "L", "mg/L", "mg/L as NH3", "F", "%", "meq/L", "gal", "ppm", "g/kg", "mmHg", "/", "²"]
)
TEXTS = st.text(max_size=30) | st.builds("{} {}".format, NUMBERS, UNITS)


def _within_range(ask: Ask) -> st.SearchStrategy[str]:
    if isinstance(ask, Choice):
        return st.sampled_from([option.value for option in ask.options])
    number = _numbers(ask).map(repr)
    unit = (offered(ask) or ("",))[0]
    if isinstance(ask, Series):
        some = st.lists(number, min_size=ask.fewest, max_size=min(ask.most, ask.fewest + 5))
        return some.map(lambda numbers: f"{' '.join(numbers)} {unit}")
    return number.map(lambda text: f"{text} {unit}")


def _numbers(ask: Input | Series) -> st.SearchStrategy[float]:
    low, high = ask.accepted.low, ask.accepted.high
    if isinstance(ask, Input) and ask.whole:
        return st.integers(int(low), int(high)).map(float)
    return st.floats(low, high, allow_nan=False)


def _told(of: Callable[[Ask], st.SearchStrategy[str]]) -> st.SearchStrategy[Any]:
    return st.sampled_from(CALCULATIONS).flatmap(
        lambda asked: st.tuples(
            st.just(asked), st.fixed_dictionaries({ask.name: of(ask) for ask in asked.asks})
        )
    )


def _answers_or_explains(asked: Calculation, told: dict[str, str]) -> None:
    made, faults = outcome(asked, told)
    if made:
        assert json.dumps(made.as_json(), allow_nan=False)
    else:
        assert faults
        assert all(sentence.strip() for sentence in faults.values())


@settings(max_examples=200, deadline=None)
@given(case=_told(lambda ask: TEXTS | st.just(ask.example)))
def test_any_text_is_answered_or_explained(case: tuple[Calculation, dict[str, str]]) -> None:
    _answers_or_explains(*case)


@settings(max_examples=300, deadline=None)
@given(case=_told(_within_range))
def test_any_accepted_number_is_answered_or_explained(
    case: tuple[Calculation, dict[str, str]],
) -> None:
    _answers_or_explains(*case)


@settings(max_examples=50, deadline=None)
@given(told=st.dictionaries(st.text(max_size=10), st.text(max_size=10), max_size=5))
def test_unknown_keys_are_each_explained(told: dict[str, str]) -> None:
    for asked in CALCULATIONS[:3]:
        unknown = told.keys() - {ask.name for ask in asked.asks}
        _, faults = outcome(asked, told)
        assert unknown <= faults.keys()
