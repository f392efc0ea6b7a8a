"""May this go into this water at all? Asked before every dose."""

from typing import Final

from facility.refusals import Refusal
from tanks.models import Cycle, Policy
from tanks.queries.acts import holds_animals
from tanks.queries.cycles import open_cycle_in
from tanks.queries.dosing import ammonia_known
from tanks.queries.policies import policy_at
from tanks.queries.waters import Water
from tanks.rules.capping import over_cap, unread


class PolicyMissing(Refusal):
    code = "policy-missing"
    field = "purpose"


class TanUnread(Refusal):
    code = "tan-unread"
    field = "purpose"


class TanOverCap(Refusal):
    code = "tan-over-cap"
    field = "amount"


class WaterStocked(Refusal):
    code = "water-stocked"
    field = "purpose"


def require_no_animals(purpose: str, water: Water) -> None:
    """Refuse what never goes into water that holds animals.

    Raises:
        WaterStocked
    """
    words = _NOT_WITH_ANIMALS.get(purpose)
    if words and holds_animals(water):
        raise WaterStocked(f"Animals are recorded in {water.name}. {words}")


def require_under_cap(water: Water, *, dose_mg_l_n: float) -> None:
    """Refuse ammonia that would bring TAN above the policy's cap, or might.

    Raises:
        PolicyMissing, TanUnread, TanOverCap
    """
    cycle = open_cycle_in(water)
    policy = policy_for(cycle, water)
    known = ammonia_known(water, cycle)
    if why := unread(known, at=water.at, fresh_hours=float(policy.reading_fresh_hours)):
        raise TanUnread(why)
    cap_mg_l_n = float(policy.tan_cap_mg_l_n)
    if why := over_cap(known, dose_mg_l_n=dose_mg_l_n, cap_mg_l_n=cap_mg_l_n):
        raise TanOverCap(why)


def policy_for(cycle: Cycle | None, water: Water) -> Policy:
    """Return the policy the start-up began under; without one, the site's at that moment.

    Raises:
        PolicyMissing
    """
    policy = cycle.policy if cycle else policy_at(water.anchor.site, at=water.at)
    if policy is None:
        raise PolicyMissing("This site has no start-up policy yet; a manager adopts one first.")
    return policy


_NOT_WITH_ANIMALS: Final = {
    "AMMONIA": "Ammonia never goes into water that holds animals.",
    "CHALLENGE": "Ammonia never goes into water that holds animals.",
    "SALINITY": (
        "Dry salt never goes into water that holds animals: "
        "exchange water for saltier water in small steps."
    ),
}
