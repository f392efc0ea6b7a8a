"""One figure read again and again, to the digit: copied, or a probe that stands still. Pure."""

import re
from collections.abc import Iterator
from typing import Final

from facility.rules.alerts import Seen
from tanks.rules.alarms.known import Known, Point, Rule
from tanks.rules.limits import NAMES

# A kit shows few steps and a titration counts drops: those repeat honestly.
_FINE: Final = frozenset({"PROBE", "PHOTOMETER"})
_DIGIT: Final = re.compile(r"\d")


def identical(rule: Rule, known: Known) -> Iterator[Seen]:
    """Yield each vessel and parameter whose latest reading repeats those before it."""
    wanted = [rule.parameter] if rule.parameter else list(known.points)
    for parameter in wanted:
        for code in sorted({point.code for point in known.of(parameter)}):
            points = [point for point in known.of(parameter) if point.code == code]
            yield from _repeated(rule, points)


def _repeated(rule: Rule, points: list[Point]) -> Iterator[Seen]:
    count = int(rule.number("readings", 3)) + 1
    last = points[-count:]
    if len(last) < count or len({(each.entered, each.method_name) for each in last}) > 1:
        return
    point = last[-1]
    kinds = rule.words("kinds") or _FINE
    is_fine = point.read.method_kind in kinds and point.qualifier == "EQUAL"
    is_long = point.at - last[0].at >= rule.hours("lasting_hours")
    if is_fine and is_long and _digits(point.entered) >= rule.number("digits", 3):
        yield rule.sees(
            f"{NAMES[point.read.parameter]} {point.read.text} ({point.code}) was read "
            f"{count} times running, to the digit.",
            tuple(key for each in last for key in each.keys),
            of=f"{point.read.parameter}:{point.code}",
        )


def _digits(entered: str) -> int:
    """Figures that tell something: of ``0.05`` one, of ``25.30`` four, of SG ``1.026`` two."""
    number = entered.split(maxsplit=1)[0]
    told = number.removeprefix("1.") if " SG " in entered else number
    return len(_DIGIT.findall(told.lstrip("0.,")))
