"""A feed rate that passes have proven, and what ends it. Pure, over the whole history.

Whether a certificate is in force is computed from events in order of when they happened, so
a lapse stays a lapse whatever follows, and the order in which facts arrive changes nothing.
What voids a proof, and the days and hours of the policy, are common practice, no source.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import ROUND_FLOOR, Decimal
from enum import StrEnum
from typing import Final, TypeAlias
from uuid import UUID

from chemistry.feed import certified_feed_g_day
from tanks.rules.measured import Measured
from tanks.rules.proof import Judgement
from tanks.rules.terms import Terms

# What a metered fill and a glass's geometry agree to; common practice, no source.
VOLUME_TOLERANCE: Final = 0.05
_FIGURES: Final = 3
_PLACES: Final = Decimal("0.01")


class Kind(StrEnum):
    """What can befall a proven water."""

    FED = "FED"
    DISINFECTANT = "DISINFECTANT"
    POWER_LOSS = "POWER_LOSS"
    MEDIA_DRIED = "MEDIA_DRIED"
    MEDIA_REPLACED = "MEDIA_REPLACED"
    LOW_PH = "LOW_PH"
    MEMBERS = "MEMBERS"
    VOLUME = "VOLUME"
    PASS_UNDONE = "PASS_UNDONE"  # noqa: S105 - a challenge passed, no password
    LEFT_OVER = "LEFT_OVER"
    UNFED = "UNFED"


@dataclass(frozen=True, slots=True, kw_only=True)
class Happening:
    """Something that befell the water; ``amount`` is hours of power lost or litres measured."""

    kind: Kind
    at: datetime
    told: str = ""
    amount: float | None = None
    ph: Measured | None = None
    members: frozenset[UUID] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Proven:
    """What a certificate stands on: ``since`` is the dose of its first pass."""

    since: datetime
    members: frozenset[UUID]
    litres: float
    terms: Terms


@dataclass(frozen=True, slots=True, kw_only=True)
class InForce:
    """It holds, and lapses unfed at ``lapses_at``."""

    fed_at: datetime
    lapses_at: datetime

    @property
    def sentence(self) -> str:
        return "The certified feed is in force."


@dataclass(frozen=True, slots=True, kw_only=True)
class Voided:
    """It ended at ``at``; nothing after can bring it back, only new passes."""

    by: Kind
    at: datetime
    sentence: str


Standing: TypeAlias = InForce | Voided


def state(proven: Proven, happenings: Iterable[Happening], *, at: datetime) -> Standing:
    """Return whether the certificate holds at that moment, and if not, what ended it first."""
    past = [one for one in happenings if proven.since <= one.at <= at]
    ends = [*_voiding(proven, past), *_unfed(proven, past, at)]
    if ends:
        return min(ends, key=lambda end: (end.at, end.by, end.sentence))
    fed_at = max((one.at for one in past if one.kind is Kind.FED), default=proven.since)
    return InForce(fed_at=fed_at, lapses_at=fed_at + timedelta(days=proven.terms.unfed_days))


def certified_feed(
    passes: Sequence[Judgement], *, volume_l: float, protein_share: float
) -> tuple[float, Decimal]:
    """Return the load every pass cleared in mg/L-N, and the feed in g/day, rounded down.

    ``load × volume / (1000 × protein × 0.092)``, after Timmons & Ebeling 2013.
    """
    load = min(judgement.load_mg_l_n for judgement in passes)
    feed = certified_feed_g_day(cleared_mg_l_n=load, volume_l=volume_l, protein_share=protein_share)
    return load, _rounded_down(feed)


def hindrances(
    stretch: Sequence[Judgement | None], *, chosen: Sequence[Judgement | None], terms: Terms
) -> Iterator[str]:
    """Yield what keeps ``chosen`` from proving a feed rate.

    ``stretch`` are the judgements of every challenge from the first chosen to the last, those
    not chosen included: passes with another challenge between them are not consecutive.
    """
    standing = [judgement for judgement in chosen if judgement is not None and judgement.passed]
    if len(standing) < len(chosen) or not chosen:
        yield "One of these is no pass that stands; look at its findings."
        return
    if len(standing) < terms.passes_needed:
        yield f"{terms.passes_needed} passes in a row are needed, here are {len(standing)}."
    if len(stretch) != len(chosen):
        yield "Another challenge without a standing pass lies between; passes must follow on."
    if len({one.tan_method for one in standing}) > 1:
        yield "The passes were read by different TAN methods; use the same one."
    if len({one.nitrite_method for one in standing}) > 1:
        yield "The passes were read by different nitrite methods; use the same one."


def _voiding(proven: Proven, past: Iterable[Happening]) -> Iterator[Voided]:
    for one in past:
        if _voids(proven, one):
            yield Voided(by=one.kind, at=one.at, sentence=one.told or _SENTENCES[one.kind])


def _voids(proven: Proven, one: Happening) -> bool:
    match one.kind:
        case Kind.FED | Kind.UNFED:
            return False
        case Kind.POWER_LOSS:
            # How long is not known: then it may have been too long.
            return one.amount is None or one.amount > proven.terms.power_loss_hours
        case Kind.LOW_PH:
            return one.ph is not None and one.ph.reaches(proven.terms.ph_floor) is False
        case Kind.MEMBERS:
            return one.members != proven.members
        case Kind.VOLUME:
            return one.amount is None or _differs(one.amount, proven.litres)
        case _:
            return True


def _differs(litres: float, proven_l: float) -> bool:
    return abs(litres - proven_l) > VOLUME_TOLERANCE * proven_l


def _unfed(proven: Proven, past: Iterable[Happening], at: datetime) -> Iterator[Voided]:
    longest = timedelta(days=proven.terms.unfed_days)
    fed = sorted(one.at for one in past if one.kind is Kind.FED)
    meals = [proven.since, *fed]
    for meal, following in zip(meals, [*fed, at], strict=True):
        if following - meal > longest:
            yield Voided(by=Kind.UNFED, at=meal + longest, sentence=_starved(proven.terms))
            return


def _starved(terms: Terms) -> str:
    return (
        f"The filter went unfed for more than {terms.unfed_days:g} days; feeding it now does not "
        "bring the proof back, new passes do."
    )


def _rounded_down(feed_g_day: float) -> Decimal:
    # Nine figures, or 20 g would come out as 19.9 by the last bit of a float.
    exact = Decimal(f"{feed_g_day:.9g}")
    step = Decimal(1).scaleb(exact.adjusted() + 1 - _FIGURES)
    return exact.quantize(max(step, _PLACES), rounding=ROUND_FLOOR).quantize(_PLACES)


_SENTENCES: Final = {
    Kind.DISINFECTANT: "A disinfectant, antibiotic or copper reached the filter.",
    Kind.POWER_LOSS: "Power or flow was lost for longer than the policy allows.",
    Kind.MEDIA_DRIED: "Filter media dried out.",
    Kind.MEDIA_REPLACED: "Filter media was replaced.",
    Kind.LOW_PH: "pH was read below the floor.",
    Kind.MEMBERS: "Other vessels share the water than those that passed.",
    Kind.VOLUME: "The net volume is no longer the one that passed.",
    Kind.LEFT_OVER: "A later challenge of the same load was not cleared in time.",
    Kind.PASS_UNDONE: "A correction undid a pass.",
}
