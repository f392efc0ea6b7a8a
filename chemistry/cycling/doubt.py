"""What the equations leave out, as a spread between members: of the filter now, of growth to come.

Measured on start-ups simulated with other equations (Haldane kinetics, a lag, two populations
of nitrite oxidisers, cardinal temperatures, a rate that saturates instead of a growth that stops,
missed visits): without it dates came too early, and a filter near its limit never passed. Little
is needed otherwise since a nitrate reading may show nitrite: taken at face value it had told of
nitrite oxidisers that were not there, and that, not growth, had made intervals too narrow.
"""

from dataclasses import replace
from typing import Final

import numpy as np

from chemistry.cycling.arrays import AMMONIA_OXIDISERS
from chemistry.cycling.history import History
from chemistry.cycling.inference import Ensemble

# Standard deviations of logarithms, and medians. What readings of a seed cannot show only ever
# delays; a water without seed was set by its four to eight weeks, and is hardly slowed.
GROWTH_AHEAD: Final = {True: 0.85, False: 0.95}  # by whether it was seeded
GROWTH_BOTH: Final = 0.06
GROWTH_EACH: Final = 0.06
CAPACITY_EACH: Final = 0.10
# A film that seems full still creeps onto walls and pipes: its limit is neither sharp nor final.
LIMIT_AHEAD: Final = 1.3
LIMIT_EACH: Final = 0.35


def doubted(
    ensemble: Ensemble, lived: History, *, rng: np.random.Generator
) -> tuple[Ensemble, History]:
    """Return the ensemble with what is to come, and its capacities now, less certain."""
    pairs, count = 2, ensemble.members.count
    capacity = np.exp(CAPACITY_EACH * rng.standard_normal((pairs, count)))
    growth = GROWTH_AHEAD[ensemble.is_seeded] * np.exp(
        GROWTH_BOTH * rng.standard_normal(count) + GROWTH_EACH * rng.standard_normal((pairs, count))
    )
    limit = LIMIT_AHEAD * np.exp(LIMIT_EACH * rng.standard_normal((pairs, count)))
    now = lived.now.copy()
    now[AMMONIA_OXIDISERS:] *= capacity
    kinetics = ensemble.members.kinetics
    ahead = replace(
        kinetics,
        growth_per_d=kinetics.growth_per_d * growth,
        limit_mg_l_d=kinetics.limit_mg_l_d * limit,
    )
    members = replace(ensemble.members, kinetics=ahead)
    return replace(ensemble, members=members), replace(lived, now=now)
