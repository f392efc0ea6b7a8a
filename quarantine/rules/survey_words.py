"""What a sample is worth, in sentences nobody can read the wrong way round. Pure."""

from dataclasses import dataclass
from math import ceil
from typing import Any, Final

from facility.rules.wording import written
from quarantine.rules.survey import (
    Design,
    Worth,
    best_cut,
    by_hand,
    cannon_roe,
    chain,
    needed,
)

IMPOSSIBLE: Final = "impossible"
METHOD: Final = (
    "Exact: hypergeometric with binomial errors of the test (Cameron & Baldock 1998, Prev Vet "
    "Med 34, 1). Animals are taken at random and without putting them back."
)
CAUTIONS: Final = (
    "A negative sample never proves that something is absent.",
    "A tank that looks sick stays closed whatever the number says.",
    "In tanks of twenty or fewer the honest answer is often that no sample is enough.",
)
_PER_CENT: Final = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounds:
    """So many samples one after another, all negative.

    ``prior`` is how sure one was before the first that it was not present as asked;
    ``introduction`` the chance that it comes in between two.
    """

    count: int
    prior: float = 0.5
    introduction: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyTold:
    """``wanted`` is None where no sample of this lot can do it; ``chosen`` what was asked about.

    ``beliefs`` are how sure one is after each negative round, if rounds were asked about.
    """

    design: Design
    wanted: Worth | None
    chosen: Worth | None
    answer: str
    sentences: tuple[str, ...]
    beliefs: tuple[float, ...] = ()


def survey_told(
    design: Design, *, chosen_size: int | None = None, rounds: Rounds | None = None
) -> SurveyTold:
    wanted = needed(design)
    chosen = best_cut(design, size=chosen_size) if chosen_size else None
    sentences = [_rounding(design)]
    if wanted is None:
        sentences.append(_best(design))
    else:
        sentences += [_found(design, wanted), _cut(wanted), _passing(wanted)]
    if chosen is not None:
        sentences += [f"Of {chosen.size} animals: {_found(design, chosen)}", _cut(chosen)]
        sentences.append(_passing(chosen))
    beliefs = _beliefs(chosen or wanted, rounds)
    if rounds is not None and beliefs:
        sentences.append(_after(design, rounds, beliefs[-1]))
    return SurveyTold(
        design=design,
        wanted=wanted,
        chosen=chosen,
        answer=_answer(design, wanted),
        sentences=tuple(one for one in sentences if one),
        beliefs=beliefs,
    )


def as_plain(told: SurveyTold) -> dict[str, Any]:
    """The answer as JSON; ``sample_size`` is a number or "impossible"."""
    design = told.design
    hand = by_hand(design)
    return {
        "asked": {
            "population": design.population,
            "prevalence": design.prevalence,
            "affected": design.affected,
            "confidence": design.confidence,
            "sensitivity": design.sensitivity,
            "specificity": design.specificity,
            "herd_specificity": design.herd_specificity,
        },
        "sample_size": told.wanted.size if told.wanted else IMPOSSIBLE,
        "at_that_size": _plain(told.wanted),
        "chosen": _plain(told.chosen),
        "by_hand_before_rounding_up": hand,
        "cannon_roe_perfect_test": _cannon_roe(design),
        "answer": told.answer,
        "sentences": list(told.sentences),
        "beliefs_after_each_round": list(told.beliefs),
        "cautions": list(CAUTIONS),
        "method": METHOD,
    }


def _plain(worth: Worth | None) -> dict[str, Any] | None:
    if worth is None:
        return None
    return {
        "size": worth.size,
        "passes_with_positives_up_to": worth.fails_at - 1,
        "fails_at_positives": worth.fails_at,
        "found_with_probability": worth.found,
        "passes_without_it_with_probability": worth.passes,
    }


def _cannon_roe(design: Design) -> float | None:
    if design.population is None or design.affected is None:
        return None
    return cannon_roe(
        population=design.population, affected=design.affected, confidence=design.confidence
    )


def _answer(design: Design, wanted: Worth | None) -> str:
    if wanted is None:
        return (
            f"Impossible: no sample of these animals reaches {_percent(design.confidence)} "
            "with this test."
        )
    return f"Test {wanted.size} animals."


def _rounding(design: Design) -> str:
    if design.population is None:
        return f"{_percent(design.prevalence)} of a lot too large to count."
    share = design.population * design.prevalence
    exact = "" if design.affected == round(share, 9) else f", {written(share)} rounded up"
    return (
        f"{_percent(design.prevalence)} of {design.population} are d = {design.affected} "
        f"animals{exact}."
    )


def _found(design: Design, worth: Worth) -> str:
    return (
        f"If it were present in {_least(design)}, this sample would have found it with "
        f"probability {worth.found:.4f}."
    )


def _least(design: Design) -> str:
    share = f"{_percent(design.prevalence)} or more"
    return share if design.affected is None else f"{design.affected} animals or more ({share})"


def _cut(worth: Worth) -> str:
    if worth.fails_at == 1:
        return "No positive passes, 1 fails."
    return f"{worth.fails_at - 1} or fewer positive passes, {worth.fails_at} fails."


def _passing(worth: Worth) -> str:
    if worth.passes == 1:
        return ""
    return (
        f"A lot without it passes with probability {worth.passes:.4f}: the test also gives "
        "positives where there is nothing."
    )


def _beliefs(worth: Worth | None, rounds: Rounds | None) -> tuple[float, ...]:
    """After samples as chosen, else as computed; only where a lot without it always passes."""
    if rounds is None or worth is None or worth.passes < 1:
        return ()
    return chain(
        rounds=rounds.count,
        prior=rounds.prior,
        introduction=rounds.introduction,
        sensitivity=worth.found,
    )


def _after(design: Design, rounds: Rounds, belief: float) -> str:
    return (
        f"After {rounds.count} negative rounds in a row, {_percent(rounds.introduction)} chance "
        f"of its coming in between them, the probability that it is not present in "
        f"{_least(design)} is {belief:.4f}; it was taken as {_percent(rounds.prior)} before "
        "(Martin and others 2007)."
    )


def _best(design: Design) -> str:
    """What testing every animal is worth."""
    if design.population is None:
        return "The test tells affected animals too badly from others."
    every = best_cut(design, size=design.population)
    return (
        f"Even all {design.population} tested would have found it with probability "
        f"{every.found:.4f} only."
        if every.found < design.confidence
        else "A sample that finds it often enough fails too many lots without it."
    )


def size_by_hand(design: Design) -> int | None:
    """The usual approximation, rounded up, to be shown beside the exact size."""
    hand = by_hand(design)
    return None if hand is None else ceil(hand)


def _percent(share: float) -> str:
    return f"{written(round(share * _PER_CENT, 6))} %"
