"""What a simulated water is made of, and what its organisms are like; one column a start-up."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from deploy.bench.startups.arrays import Floats


class State(NamedTuple):
    """Nitrogen in mg/L as N; populations as the nitrogen each could oxidise, mg/L as N a day."""

    tan: Floats
    nitrite: Floats
    nitrate: Floats
    bound_n: Floats  # in new cells
    lost_n: Floats  # gone as gas
    alkalinity_meq_l: Floats  # total, ammonia and borate included
    dic_mmol_l: Floats
    oxygen_mg_l: Floats
    ph: Floats
    salinity: Floats
    ammonia_oxidisers: Floats
    fast_oxidisers: Floats
    slow_oxidisers: Floats
    ammonia_wake: Floats  # Baranyi's q: growth waits until it is well above one
    nitrite_wake: Floats

    @property
    def nitrogen(self) -> Floats:
        return self.tan + self.nitrite + self.nitrate + self.bound_n + self.lost_n


class Traits(NamedTuple):
    """What differs between start-ups and stays; rates per day at 25 °C."""

    ammonia_growth: Floats
    fast_growth: Floats
    slow_growth: Floats
    ammonia_half_mg_l: Floats
    fast_half_mg_l: Floats
    slow_half_mg_l: Floats
    ammonia_substrate_limit_mg_l: Floats  # Haldane, free ammonia on ammonia oxidisers
    nitrite_substrate_limit_mg_l: Floats  # Haldane, nitrite on its oxidisers
    free_ammonia_half_mg_l: Floats  # on nitrite oxidisers
    nitrous_half_mg_l: Floats
    nitrite_on_ammonia_half_mg_l: Floats
    ammonia_room: Floats  # potential at which diffusion halves the rate, mg/L as N a day
    nitrite_room: Floats
    decay: Floats
    best_ph: Floats
    ph_width: Floats
    ammonia_best_c: Floats
    nitrite_best_c: Floats
    salt_penalty: Floats  # share of speed lost at full strength sea water
    salt_shock_ppt: Floats  # step that leaves 37 % of an established film
    aeration_per_h: Floats
    air_co2_uatm: Floats
    nitrate_loss: Floats
    bound_share: Floats  # of oxidised ammonia that ends in cells

    def of(self, columns: npt.NDArray[np.intp]) -> "Traits":
        return Traits(*(row[columns] for row in self))
