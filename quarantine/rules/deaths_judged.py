"""Every rule about deaths and refused feed held against one water. Pure."""

from collections.abc import Callable, Iterable, Iterator
from datetime import timedelta
from typing import Final

from facility.rules.alerts import Seen
from facility.rules.wording import written
from quarantine.rules.deaths_known import Baseline, Dead, Known, LotHere, Rule
from quarantine.rules.mortality import Excess, Threshold, excess, excess_of_days, passes

POISSON: Final = "POISSON"
_SMALL: Final = 0.0001
_PER_CENT: Final = 100
_DEFAULT_BASELINE: Final = 0.002
_RARE: Final = 0.01


def judged(rules: Iterable[Rule], known: Known) -> list[Seen]:
    """Return every sign the rules see in this water now, most pressing first."""
    found = [seen for rule in rules for seen in JUDGEMENTS[rule.looks_for](rule, known)]
    return sorted(found, key=lambda seen: (seen.level, seen.rule))


def baseline_for(rule: Rule, known: Known) -> Baseline:
    """The site's own, where enough is known; else the rule's figure."""
    figure = rule.number("baseline", _DEFAULT_BASELINE)
    fixed = Baseline(share=figure, says=f"{percent(figure)} a day, the rule's figure")
    return known.usual if known.usual and rule.number("own", 1) else fixed


def percent(share: float) -> str:
    return f"{written(share * _PER_CENT)} %"


def chance(probability: float) -> str:
    """Write a P as it is read aloud: two figures, and never nothing."""
    return f"{probability:.2g}" if probability >= _SMALL else "below 0.0001"


def _excess(rule: Rule, known: Known) -> Iterator[Seen]:
    days = rule.number("days", 1)
    for lot in known.lots:
        found, dead, risk = _judged_excess(rule, known, lot, days)
        if found.is_rare and found.deaths >= rule.number("least", 2):
            sentence = (
                f"{_lost(lot, dead, risk, days)} At the baseline of "
                f"{baseline_for(rule, known).says}, {written(found.expected)} are expected and "
                f"as many or more come up with P = {chance(found.probability)}; "
                f"the rule calls from {found.alarm_at}."
            )
            yield rule.sees(known, sentence, [each.key for each in dead], of=lot.code)


def _judged_excess(
    rule: Rule, known: Known, lot: LotHere, days: float
) -> tuple[Excess, tuple[Dead, ...], int]:
    since = known.at - timedelta(days=days)
    dead, risk = lot.died(since, known.at), lot.at_risk(since, known.at)
    share, rare = baseline_for(rule, known).share, rule.number("rare", _RARE)
    deaths = _count(dead)
    if rule.figures.get("law") == POISSON:
        exposed = lot.animal_days(since, known.at)
        return (
            excess_of_days(deaths=deaths, animal_days=exposed, baseline=share, rare=rare),
            dead,
            risk,
        )
    return excess(deaths=deaths, animals=risk, days=days, baseline=share, rare=rare), dead, risk


def _share(rule: Rule, known: Known) -> Iterator[Seen]:
    days = rule.number("days", 1)
    threshold = Threshold(days=int(days), share=rule.number("share", 1))
    for lot in known.lots:
        found, dead, risk = _judged_excess(rule, known, lot, days)
        if found.deaths >= rule.number("least", 1) and passes(
            threshold, deaths=found.deaths, of=risk
        ):
            sentence = (
                f"{_lost(lot, dead, risk, days)} That is {percent(found.deaths / risk)}, over "
                f"{percent(threshold.share)}; at the baseline of "
                f"{baseline_for(rule, known).says}, P = {chance(found.probability)}."
            )
            yield rule.sees(known, sentence, [each.key for each in dead], of=lot.code)


def _unexplained(rule: Rule, known: Known) -> Iterator[Seen]:
    since = known.at - timedelta(days=rule.number("days", 7))
    found = [(lot, each) for lot in known.lots for each in lot.died(since, known.at)]
    open_ones = [(lot, each) for lot, each in found if not each.is_explained]
    for vessel in sorted({each.vessel for _, each in open_ones}):
        here = [(lot, each) for lot, each in open_ones if each.vessel == vessel]
        count = _count(each for _, each in here)
        if count >= rule.number("deaths", 3):
            lots = ", ".join(sorted({lot.code for lot, _ in here}))
            sentence = (
                f"{count} deaths in {vessel} within {_days(rule.number('days', 7))} have no "
                f"known cause ({lots})."
            )
            yield rule.sees(known, sentence, [each.key for _, each in here], of=vessel)


def _doubling(rule: Rule, known: Known) -> Iterator[Seen]:
    day = timedelta(days=1)
    for lot in known.lots:
        today = lot.died(known.at - day, known.at)
        before = lot.died(known.at - 2 * day, known.at - day)
        is_double = _count(today) >= rule.number("times", 2) * _count(before)
        if before and is_double and _count(today) >= rule.number("least", 2):
            sentence = (
                f"Deaths of {lot.name} went from {_count(before)} to {_count(today)} "
                "from one day to the next."
            )
            yield rule.sees(known, sentence, [each.key for each in today], of=lot.code)


def _after(rule: Rule, known: Known) -> Iterator[Seen]:
    span = timedelta(hours=rule.number("hours", 48))
    for lot in known.lots:
        for each in lot.died(known.at - span, known.at)[-1:]:
            acts = [act for act in known.acts if each.at - span <= act.at <= each.at]
            if acts:
                hours = (each.at - acts[-1].at) // timedelta(hours=1)
                sentence = (
                    f"{each.count} of {lot.name} found dead in {each.vessel} {hours} h after "
                    f"{acts[-1].what}."
                )
                yield rule.sees(known, sentence, [each.key], of=lot.code)


def _refused(rule: Rule, known: Known) -> Iterator[Seen]:
    meals = int(rule.number("meals", 2))
    for lot in known.lots:
        offered = [look for look in lot.looks if look.feeding != "NOT_OFFERED"]
        for vessel in sorted({look.vessel for look in offered}):
            last = [look for look in offered if look.vessel == vessel][-meals:]
            if len(last) == meals and all(look.feeding == "REFUSED" for look in last):
                sentence = f"{lot.name} in {vessel} refused feed {meals} meals running."
                keys = [look.key for look in last]
                yield rule.sees(known, sentence, keys, of=f"{lot.code}:{vessel}")


JUDGEMENTS: Final[dict[str, Callable[[Rule, Known], Iterator[Seen]]]] = {
    "EXCESS": _excess,
    "SHARE": _share,
    "UNEXPLAINED": _unexplained,
    "DOUBLING": _doubling,
    "AFTER": _after,
    "REFUSED": _refused,
}


def _lost(lot: LotHere, dead: tuple[Dead, ...], risk: int, days: float) -> str:
    return f"{lot.name} lost {_count(dead)} of {risk} in {_days(days)}."


def _count(dead: Iterable[Dead]) -> int:
    return sum(each.count for each in dead)


def _days(days: float) -> str:
    return "24 h" if days == 1 else f"{written(days)} days"
