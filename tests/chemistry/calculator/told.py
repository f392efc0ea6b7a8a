"""What a person might type for a calculation."""

from chemistry.calculator import Answer, BadInput, Calculation, answer
from chemistry.calculator.terms import Ask, Choice, Input, Series, offered
from chemistry.units import magnitude


def examples(calculation: Calculation) -> dict[str, str]:
    return {ask.name: ask.example for ask in calculation.asks}


def outcome(asked: Calculation, told: dict[str, str]) -> tuple[Answer | None, dict[str, str]]:
    """Return the answer, or None and the sentences by ask."""
    try:
        return answer(asked, told), {}
    except BadInput as fault:
        return None, fault.faults


def ends(ask: Ask) -> tuple[str, ...]:
    """Return what to type for the lowest and highest accepted value, or for every option."""
    if isinstance(ask, Choice):
        return tuple(option.value for option in ask.options)
    reach = (ask.accepted.low, ask.accepted.high)
    if isinstance(ask, Series):
        return tuple(_with_unit(ask, f"{value!r} " * ask.fewest) for value in reach)
    return tuple(_with_unit(ask, repr(value)) for value in reach)


def in_unit(ask: Input, value: float, unit: str) -> str:
    """Return ``value``, canonical, as somebody types it in ``unit``; a bare number for ""."""
    return f"{magnitude(value, ask.unit or '1', to=unit)!r} {unit}" if unit else repr(value)


def _with_unit(ask: Input | Series, numbers: str) -> str:
    return f"{numbers} {offered(ask)[0]}" if ask.unit else numbers
