"""The next thing to do about a water, in one sentence with its reason. Pure.

The steps are graduated: common practice, no source. They advise; a person decides.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from facility.rules.wording import written
from tanks.rules.limits import IN_RANGE, INSIDE, UNIONISED, Read
from tanks.rules.meaning import Meaning
from tanks.rules.terms import Terms

_WASTES: Final = frozenset({UNIONISED, "TAN", "NITRITE"})
# From how many times its limit a waste asks for which step.
_LADDER: Final = (
    (4.0, "Stop feeding, aerate, and change water now; read again within two hours."),
    (2.0, "Feed nothing today and change water; read again this evening."),
    (1.0, "Feed half today and read again tomorrow; change water if it has not fallen."),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class NextStep:
    sentence: str
    why: str


def with_animals(meaning: Meaning) -> NextStep:
    """Return the step that the most pressing finding asks for."""
    pressing = [one for one in meaning.findings if one.level in {1, 2}]
    if not pressing:
        return _nothing_pressing(meaning)
    worst = pressing[0]
    sentence = worst.advice
    if worst.parameter in _WASTES and worst.times_over:
        sentence = next((step for times, step in _LADDER if worst.times_over >= times), sentence)
    return NextStep(sentence=sentence, why=worst.sentence)


def starting_up(reads: Mapping[str, Read], terms: Terms) -> NextStep:
    """Return the step that the site's policy asks for during biofilter start-up."""
    for rule in (_unread, _buffer, _over_cap, _wait_for_ammonia, _wait_for_nitrite):
        if step := rule(reads, terms):
            return step
    return NextStep(
        sentence=f"Dose ammonium chloride for {written(terms.dose_mg_l_n)} mg/L as N.",
        why="TAN and nitrite are both low enough for the next dose.",
    )


def _nothing_pressing(meaning: Meaning) -> NextStep:
    if any(one.level == IN_RANGE for one in meaning.findings):
        why = "Nothing that was read asks for action today."
        return NextStep(sentence="Go on as planned; read again when it is due.", why=why)
    return NextStep(
        sentence="Read TAN, nitrite, pH and temperature.", why="No reading can be judged yet."
    )


def _unread(reads: Mapping[str, Read], _: Terms) -> NextStep | None:
    missing = [INSIDE[name] for name in ("TAN", "NITRITE") if name not in reads]
    if not missing:
        return None
    return NextStep(sentence=f"Read {' and '.join(missing)}.", why="The next dose depends on both.")


def _buffer(reads: Mapping[str, Read], terms: Terms) -> NextStep | None:
    alkalinity = reads.get("ALKALINITY")
    if alkalinity is None or alkalinity.interval.top >= terms.alkalinity_low_meq_l:
        return None
    floor = written(terms.alkalinity_low_meq_l)
    return NextStep(
        sentence=f"Raise alkalinity above {floor} meq/L before the next dose.",
        why=f"Alkalinity reads {alkalinity.text}, and each mg of nitrogen uses 0.143 meq.",
    )


def _over_cap(reads: Mapping[str, Read], terms: Terms) -> NextStep | None:
    tan = reads["TAN"]
    if tan.interval.low <= terms.tan_cap_mg_l_n:
        return None
    return NextStep(
        sentence="Add no ammonia; read TAN again tomorrow.",
        why=f"TAN reads {tan.text}, above the cap of {written(terms.tan_cap_mg_l_n)} mg/L as N.",
    )


def _wait_for_ammonia(reads: Mapping[str, Read], terms: Terms) -> NextStep | None:
    tan = reads["TAN"]
    if tan.interval.top <= terms.redose_tan_mg_l_n:
        return None
    return NextStep(
        sentence="Wait; read TAN and nitrite again tomorrow.",
        why=f"TAN reads {tan.text}; the next dose waits until it is at most "
        f"{written(terms.redose_tan_mg_l_n)} mg/L as N.",
    )


def _wait_for_nitrite(reads: Mapping[str, Read], terms: Terms) -> NextStep | None:
    nitrite = reads["NITRITE"]
    if nitrite.interval.top <= terms.redose_nitrite_mg_l_n:
        return None
    return NextStep(
        sentence="Wait; read nitrite again tomorrow, and pH with it.",
        why=f"Nitrite reads {nitrite.text}; the next dose waits until it is at most "
        f"{written(terms.redose_nitrite_mg_l_n)} mg/L as N.",
    )
