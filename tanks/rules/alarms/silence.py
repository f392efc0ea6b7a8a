"""What should have been read, or put right, and was not. Pure."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Final

from facility.rules.alerts import ACT_NOW, TODAY, Seen
from facility.rules.wording import age
from tanks.rules.alarms.known import DueTest, Known, Loan, Rule
from tanks.rules.limits import INSIDE, NAMES

# What goes on being so is said again half a day after a person gave its cause.
_AGAIN_H: Final = 12


def missing(rule: Rule, known: Known) -> Iterator[Seen]:
    """Yield each due test nobody did or answered, once part of its interval has gone by.

    After a whole interval more it is a matter of today.
    """
    for test in known.tests:
        late = known.at - test.due_at
        if late >= test.every * rule.number("share") and _is_open(test, known):
            is_long = late >= test.every * rule.number("today_share", 1)
            yield rule.sees(
                _not_done(test, known),
                (test.key,),
                level=min(rule.level, TODAY) if is_long else rule.level,
                of=test.key.rpartition(":")[2],
                again_after_hours=_AGAIN_H,
            )


def past_return(rule: Rule, known: Known) -> Iterator[Seen]:
    """Yield each loan of the rule's kinds that should have been put right by now."""
    for loan in known.loans:
        if loan.kind in rule.words("kinds") and loan.due_back_at <= known.at:
            late = known.at - loan.due_back_at
            is_long = late >= rule.hours("act_now_after_hours", 0) and _escalates(rule)
            yield rule.sees(
                _not_back(loan, late, known),
                (loan.key,),
                level=ACT_NOW if is_long else rule.level,
                of=loan.key.rpartition(":")[2],
                again_after_hours=_AGAIN_H,
            )


def _is_open(test: DueTest, known: Known) -> bool:
    """A test of no named parameter is open until it is answered."""
    return not test.parameters or bool(_unread(test, known))


def _unread(test: DueTest, known: Known) -> list[str]:
    """The parameters asked for that were not read since shortly before it fell due."""
    since = test.due_at - test.every * 0.5
    latest = {name: known.latest(name) for name in test.parameters}
    return [name for name, point in latest.items() if point is None or point.at < since]


def _escalates(rule: Rule) -> bool:
    return "act_now_after_hours" in rule.figures


def _not_done(test: DueTest, known: Known) -> str:
    due = age(test.due_at, now=known.at)
    told = f"{test.title} was due {due} and is neither done nor answered."
    return f"{told} {' '.join(_last_read(name, known) for name in _unread(test, known))}".rstrip()


def _last_read(parameter: str, known: Known) -> str:
    point = known.latest(parameter)
    if point is None:
        return f"{NAMES[parameter]} has not been read in a month."
    return f"Last {INSIDE[parameter]} {point.read.text}, {age(point.at, now=known.at)}."


def _not_back(loan: Loan, late: timedelta, known: Known) -> str:
    since = age(known.at - late, now=known.at)
    return f"{loan.what}: should have been put right {since}. {loan.owner} answers for it."
