"""What a feed asks of this much water, before anybody starts to prove it."""

from dataclasses import dataclass

from chemistry.domain import OutOfRange
from chemistry.feed import challenge_for_feed_mg_l_n
from tanks.rules.feeding import load_to_prove_mg_l_n, most_feed_g_per_day
from tanks.rules.terms import Terms


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A day's feed as ammonia; ``sentence`` says what it means for the challenge."""

    is_provable: bool
    working: str
    sentence: str


def load_of(*, feed_g_per_day: float, protein_share: float, volume_l: float, terms: Terms) -> Load:
    """Return what the feed becomes in this volume, with its working."""
    given = {"protein_share": protein_share, "volume_l": volume_l}
    try:
        daily_mg_l_n = challenge_for_feed_mg_l_n(feed_g_day=feed_g_per_day, **given)
        challenge = load_to_prove_mg_l_n(terms=terms, feed_g_per_day=feed_g_per_day, **given)
        most = most_feed_g_per_day(terms=terms, **given)
    except OutOfRange as error:
        return Load(is_provable=False, working="", sentence=str(error))
    working = (
        f"{feed_g_per_day:g} g × {protein_share * 100:.3g} % protein × 0.092 × 1000 / "
        f"{volume_l:g} L "
        f"= {daily_mg_l_n:.2f} mg/L-N a day"
    )
    if challenge > terms.tan_cap_mg_l_n:
        sentence = (
            f"That is over the cap of {terms.tan_cap_mg_l_n:g} mg/L-N: at most {most:.3g} g/day "
            "can be proven in this water."
        )
        return Load(is_provable=False, working=working, sentence=sentence)
    raised = " (the least the policy asks for)" if challenge > daily_mg_l_n else ""
    sentence = f"The challenge will be {challenge:.3g} mg/L-N{raised}, cleared within a day."
    return Load(is_provable=True, working=working, sentence=sentence)
