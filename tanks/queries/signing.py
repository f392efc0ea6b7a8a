"""Which passes may be signed for now, what feed they prove, and what still stands in the way."""

from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from tanks.queries.cycles import Course
from tanks.queries.proofs import Tried
from tanks.rules.certificates import certified_feed, hindrances


@dataclass(frozen=True, slots=True, kw_only=True)
class Signable:
    """The latest passes in a row; ``readers`` took their readings and may not sign."""

    passes: tuple[Tried, ...]
    hindrances: tuple[str, ...]
    load_mg_l_n: float
    litres: float
    protein_share: float
    feed_g_per_day: Decimal
    readers: frozenset[UUID]

    @property
    def working(self) -> str:
        return (
            f"{self.load_mg_l_n:.3g} mg/L-N × {self.litres:g} L / "
            f"(1000 × {self.protein_share:g} × 0.092) = {self.feed_g_per_day} g/day"
        )

    @property
    def pass_ids(self) -> tuple[UUID, ...]:
        return tuple(one.verdict.pk for one in self.passes if one.verdict)


def signable(told: Course) -> Signable | None:
    """Return the passes to sign for, or None while no pass stands that nobody signed for."""
    passes = _latest_in_a_row(told)
    judgements = [one.judgement for one in passes if one.judgement]
    if not judgements:
        return None
    litres = told.story.litres_at(passes[0].challenge.dose.happened_at)
    protein = float(told.cycle.protein_share)
    load, feed = certified_feed(judgements, volume_l=litres, protein_share=protein)
    return Signable(
        passes=passes,
        hindrances=tuple(hindrances(judgements, chosen=judgements, terms=told.terms)),
        load_mg_l_n=load,
        litres=litres,
        protein_share=protein,
        feed_g_per_day=feed,
        readers=frozenset().union(*(judgement.readers for judgement in judgements)),
    )


def _latest_in_a_row(told: Course) -> tuple[Tried, ...]:
    """As many as the policy needs, not counting a challenge that has no verdict yet."""
    signed = {pk for one in told.certificates for pk in one.certificate.pass_ids}
    found: list[Tried] = []
    for one in reversed([one for one in told.challenges if one.verdict]):
        taken = one.verdict is not None and one.verdict.pk in signed
        if taken or not one.passed or len(found) == told.terms.passes_needed:
            break
        found.insert(0, one)
    return tuple(found)
