"""The members of an ensemble: each a guess at everything a case does not tell."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.arrays import Floats, Whole
from chemistry.cycling.columns import Columns
from chemistry.cycling.model import Kinetics
from chemistry.cycling.priors import NAMES

_ROW: Final = {name: row for row, name in enumerate(NAMES)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Members(Columns):
    """Pairs are (2, members), the rest (members,)."""

    kinetics: Kinetics
    seed_mg_l_d: Floats
    inoculation: Whole
    survival: Floats
    salt_shock_g_kg: Floats
    alkalinity_meq_l: Floats
    nitrate_mg_l_n: Floats
    dose_scale: Floats
    tan_bias: Floats
    nitrite_bias: Floats
    nitrite_in_nitrate: Floats

    @property
    def count(self) -> int:
        return int(self.dose_scale.size)


def members_from(logarithms: Floats, *, inoculation: Whole) -> Members:
    """Return the members whose parameters have these logarithms, (parameters, members)."""
    value = np.exp(logarithms)
    return Members(
        kinetics=_kinetics(value),
        seed_mg_l_d=_pair(value, "ammonia_oxidisers", "nitrite_oxidisers"),
        inoculation=inoculation,
        survival=np.minimum(value[_ROW["survival"]], 1.0),
        salt_shock_g_kg=value[_ROW["salt_shock"]],
        alkalinity_meq_l=value[_ROW["alkalinity"]],
        nitrate_mg_l_n=value[_ROW["nitrate"]],
        dose_scale=value[_ROW["dose_scale"]],
        tan_bias=value[_ROW["tan_bias"]],
        nitrite_bias=value[_ROW["nitrite_bias"]],
        nitrite_in_nitrate=value[_ROW["nitrite_in_nitrate"]],
    )


def _kinetics(value: Floats) -> Kinetics:
    return Kinetics(
        growth_per_d=_pair(value, "ammonia_growth", "nitrite_growth"),
        limit_mg_l_d=_pair(value, "ammonia_limit", "nitrite_limit"),
        half_mg_l_n=_pair(value, "ammonia_half", "nitrite_half"),
        nitrite_half_mg_l_n=value[_ROW["nitrite_inhibition"]],
        ammonia_half_mg_l_n=value[_ROW["ammonia_inhibition"]],
        kappa=value[_ROW["kappa"]],
    )


def _pair(value: Floats, ammonia: str, nitrite: str) -> Floats:
    return value[[_ROW[ammonia], _ROW[nitrite]]]
