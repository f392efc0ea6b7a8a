"""Every rule of a site held against one water. Pure."""

from collections.abc import Callable, Iterable, Iterator
from typing import Final

from facility.rules.alerts import Seen
from tanks.rules.alarms.change import change, together
from tanks.rules.alarms.disagree import disagree
from tanks.rules.alarms.gain import gain
from tanks.rules.alarms.identical import identical
from tanks.rules.alarms.known import Known, Rule
from tanks.rules.alarms.level import level
from tanks.rules.alarms.off_median import off_median
from tanks.rules.alarms.off_usual import off_usual
from tanks.rules.alarms.reappears import reappears
from tanks.rules.alarms.reported import reported
from tanks.rules.alarms.silence import missing, past_return

JUDGEMENTS: Final[dict[str, Callable[[Rule, Known], Iterator[Seen]]]] = {
    "LEVEL": level,
    "CHANGE": change,
    "TOGETHER": together,
    "OFF_USUAL": off_usual,
    "REAPPEARS": reappears,
    "GAIN": gain,
    "IDENTICAL": identical,
    "DISAGREE": disagree,
    "MISSING": missing,
    "PAST_RETURN": past_return,
    "REPORTED": reported,
    "OFF_MEDIAN": off_median,
}


def judged(rules: Iterable[Rule], known: Known) -> list[Seen]:
    """Return every sign the rules see in this water now, most pressing first."""
    found = [
        seen
        for rule in rules
        if rule.applies_to(known)
        for seen in JUDGEMENTS[rule.looks_for](rule, known)
    ]
    return sorted(found, key=lambda seen: (seen.level, seen.rule))
