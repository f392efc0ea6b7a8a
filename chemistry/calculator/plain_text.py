"""Questions and answers as lines for a terminal: the answer first, its grounds below."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from chemistry.calculator.answer import Answer, shown_doubt
from chemistry.calculator.sensitivity import Influence
from chemistry.calculator.terms import (
    Ask,
    Calculation,
    Choice,
    Output,
    Subject,
    offered,
    unit_words,
)
from chemistry.calculator.wording import listed, mid_sentence, rounded

_DOUBT_FIGURES: Final = 2


def list_text(calculations: Iterable[Calculation]) -> str:
    """Return every name and question, by subject."""
    known = tuple(calculations)
    width = max(len(one.name) for one in known)
    lines: list[str] = []
    for subject in Subject:
        of_subject = [one for one in known if one.subject is subject]
        lines += [subject.value] if of_subject else []
        lines += [f"  {one.name:<{width}}  {one.question}" for one in of_subject]
    return "\n".join(lines)


def question_text(calculation: Calculation) -> str:
    """Return what a calculation asks, with examples, and on whose authority it answers."""
    return "\n".join(
        (
            calculation.question,
            *_block("It asks", (_ask(ask) for ask in calculation.asks)),
            *_block("It answers", (_answered(output) for output in calculation.outputs)),
            *_block("Like this", (_command(calculation),)),
            *_grounds(calculation),
        )
    )


def answer_text(answer: Answer) -> str:
    """Return the answer, the working, what a doubt would change, and the grounds."""
    return "\n".join(
        (
            answer.calculation.question,
            *_results(answer),
            *_block("Note", answer.notes),
            *_block("Working", answer.working),
            *_block("If a measurement is off", _moves(answer)),
            *_block("Method", (answer.method,) if answer.method else ()),
            *_grounds(answer.calculation),
        )
    )


def _block(title: str, lines: Iterable[str]) -> Iterator[str]:
    kept = [f"  {line}" for line in lines]
    if kept:
        yield from ("", title, *kept)


def _grounds(calculation: Calculation) -> Iterator[str]:
    yield from _block("Formula", calculation.formula.splitlines())
    yield from _block("Source", (f"{one.text} [{one.mark}]" for one in calculation.sources))
    yield from _block("Caution", calculation.cautions)


def _ask(ask: Ask) -> str:
    if isinstance(ask, Choice):
        return f"{ask.name}: {ask.label}, one of {listed(one.value for one in ask.options)}" + (
            f"; {ask.default} if left out" if ask.default else ""
        )
    low, high, units = ask.accepted.low, ask.accepted.high, [unit for unit in offered(ask) if unit]
    reach = f"{low:g} to {high:g} {unit_words(ask.unit)}".rstrip()
    written = f", in {listed(units)}" if units else ""
    needed = " (write it)" if ask.needs_unit else ""
    absent = f"; {ask.default} if left out" if ask.default else "; optional" * ask.optional
    return f"{ask.name}: {ask.label}{written}{needed}, {reach}{absent}"


def _answered(output: Output) -> str:
    unit = f", in {unit_words(output.unit)}" if output.unit else ""
    return f"{output.name}: {output.label}{unit}"


def _command(calculation: Calculation) -> str:
    pairs = (
        f'{ask.name}="{ask.example}"' if " " in ask.example else f"{ask.name}={ask.example}"
        for ask in calculation.asks
    )
    return " ".join(("calculate", calculation.name, *pairs))


def _results(answer: Answer) -> Iterator[str]:
    width = max(len(output.label) for output in answer.calculation.outputs)
    for output in answer.calculation.outputs:
        doubt = answer.doubts.get(output.name, 0.0)
        shown = f" ± {rounded(doubt, _DOUBT_FIGURES)}" if doubt else ""
        yield f"  {output.label:<{width}}  {answer.shown(output)}{shown}"


def _moves(answer: Answer) -> Iterator[str]:
    main = answer.calculation.outputs[0]
    for one in answer.sensitivity:
        if moved := _moved(one, main):
            yield f"{one.ask.label} by {shown_doubt(one)}: {mid_sentence(main.label)} {moved}"


def _moved(influence: Influence, output: Output) -> str:
    sides = (_side("up", influence.up, output), _side("down", influence.down, output))
    return ", ".join(side for side in sides if side)


def _side(direction: str, changes: Mapping[str, float] | None, output: Output) -> str:
    change = (changes or {}).get(output.name)
    if not change:
        return ""
    sign = "+" if change > 0 else "−"
    size = rounded(abs(change), _DOUBT_FIGURES)
    return f"{direction} {sign}{size} {unit_words(output.unit)}".rstrip()
