"""The ammonia step against Activated Sludge Model No. 1, in somebody else's implementation.

Oracle: bsm2-python 0.0.16 (FAU Erlangen-Nuremberg, after Jeppsson's ASM1 of IWA, Henze et al.
1987), heterotrophs off, oxygen held at 8 mg/L, integrated by SciPy's LSODA. ASM1 nitrifies in
one step, so nitrite oxidisers are given room to spare; the nitrite step has its own checks
against SciPy in test_integrator.
"""

from functools import cache
from typing import Any, Final

import numpy as np
from bsm2_python.bsm2 import asm1_bsm2 as asm1
from scipy.integrate import solve_ivp

from chemistry.cycling.arrays import Floats
from chemistry.cycling.integrator import step
from chemistry.cycling.model import DECAY_PER_D, Kinetics, rates
from tests.chemistry.cycling.startups import steady

GROWTH_PER_D: Final = 0.5
YIELD: Final = 0.24  # g COD per g N, ASM1
BOUND_N: Final = 0.08  # g N per g COD of biomass; BSM2's value of ASM1's i_XB
OXYGEN_MG_L: Final = 8.0
OXYGEN_HALF_MG_L: Final = 0.4
BIOMASS_MG_L: Final = 0.3
TAN_MG_L_N: Final = 5.0
AMPLE: Final = 1e9
HARD_MEQ_L: Final = 1e4  # so that pH and alkalinity hold nothing back
DAYS: Final = 20
DAYS_READ: Final = (2.0, 4.0, 6.0, 10.0, 20.0)
_FULL_SPEED: Final = GROWTH_PER_D * OXYGEN_MG_L / (OXYGEN_MG_L + OXYGEN_HALF_MG_L)
_FRESH_AT_25_C: Final = steady(temperature_c=25.0, salinity_g_kg=0.0)


def test_without_bound_nitrogen_the_ammonia_step_is_activated_sludges() -> None:
    theirs, ours = _theirs(bound_n=0.0), _ours()

    assert theirs[asm1.SNH].min() < 0.1  # the whole fall is in view
    assert theirs[asm1.SNH].max() > 2.0
    np.testing.assert_allclose(ours[0], theirs[asm1.SNH], atol=0.01)
    np.testing.assert_allclose(ours[1] + ours[2], theirs[asm1.SNO], atol=0.01)


def test_biomass_grows_and_decays_as_activated_sludges_does() -> None:
    theirs, ours = _theirs(bound_n=0.0), _ours()

    grown = theirs[asm1.XBA] / BIOMASS_MG_L
    capacity_at_start = BIOMASS_MG_L * _FULL_SPEED / YIELD / _share()
    np.testing.assert_allclose(ours[4] / capacity_at_start, grown, rtol=0.005)


def test_leaving_out_the_nitrogen_bound_in_cells_costs_two_per_cent() -> None:
    # 0.08 g N per g COD x 0.24 g COD per g N; 0.056 of 5 mg/L where QSDsan's ASM1 was asked
    theirs, ours = _theirs(bound_n=BOUND_N), _ours()

    gap = np.abs(ours[0] - theirs[asm1.SNH]).max()
    assert 0.01 < gap < 0.1


def test_alkalinity_used_per_nitrogen_is_activated_sludges() -> None:
    # ASM1 takes nitrogen at 14 g/mol, the house at 14.007
    theirs, ours = _theirs(bound_n=0.0), _ours()

    used = (HARD_MEQ_L - theirs[asm1.SALK]) / theirs[asm1.SNO]
    np.testing.assert_allclose((HARD_MEQ_L - ours[3]) / (ours[1] + ours[2]), used, rtol=1e-3)


def _parameters(bound_n: float) -> Floats:
    """ASM1's 24 in the order of ``asm1equations``; only those of the nitrifiers act here."""
    heterotrophs = [4.0, 10.0, 0.2, 0.5, 0.3]
    nitrifiers = [GROWTH_PER_D, 1.0, OXYGEN_HALF_MG_L, DECAY_PER_D]
    rest = [0.8, 0.05, 3.0, 0.1, 0.8, 0.67, YIELD, 0.08, bound_n, bound_n]
    return np.array([*heterotrophs, *nitrifiers, *rest, 0.75, 0.75, 0.75, 0.75, 0.75])


@cache
def _theirs(*, bound_n: float) -> Any:
    begun = np.zeros(21)
    begun[asm1.SNH], begun[asm1.XBA], begun[asm1.SALK] = TAN_MG_L_N, BIOMASS_MG_L, HARD_MEQ_L
    begun[asm1.XBH] = begun[asm1.XS] = 1e-12  # it divides by them
    begun[asm1.SO] = OXYGEN_MG_L
    still = np.zeros(21)  # nothing flows in
    begun[asm1.TEMP] = still[asm1.TEMP] = 15.0  # its parameters stand for 15 °C

    def slope(t_d: float, state: Floats) -> Any:
        held = -OXYGEN_MG_L
        given = (still, _parameters(bound_n), held, 1.0, False, False)
        return asm1.asm1equations.py_func(t_d, state.copy(), *given)

    solved = solve_ivp(
        slope, (0.0, DAYS), begun, method="LSODA", rtol=1e-10, atol=1e-12, t_eval=DAYS_READ
    )
    return solved.y


@cache
def _ours() -> Floats:
    """Return our states (6, days), an hour a step."""
    kinetics = _kinetics(growth_per_d=_FULL_SPEED / _share())
    hourly = _FRESH_AT_25_C.over(1.0)
    state, found = _water(BIOMASS_MG_L * _FULL_SPEED / YIELD / _share()), []
    for hour in range(1, 24 * DAYS + 1):
        state = step(state, of=kinetics, at=hourly)
        if hour / 24 in DAYS_READ:
            found.append(state[:, 0])
    return np.stack(found, axis=1)


def _share() -> float:
    """Return the share of full speed our terms for pH and alkalinity leave in this water."""
    plenty = _water()
    plenty[0] = AMPLE
    growth = rates(plenty, of=_kinetics(growth_per_d=1.0), at=_FRESH_AT_25_C)[1]
    return float(growth[0, 0]) + DECAY_PER_D


def _kinetics(*, growth_per_d: float) -> Kinetics:
    return Kinetics(
        growth_per_d=np.full((2, 1), growth_per_d),
        limit_mg_l_d=np.full((2, 1), AMPLE),
        half_mg_l_n=np.array([[1.0], [1e-6]]),
        nitrite_half_mg_l_n=np.array([AMPLE]),
        ammonia_half_mg_l_n=np.array([AMPLE]),
        kappa=np.array([1.26 * HARD_MEQ_L]),  # pH 7.9
    )


def _water(capacity: float = 1.0) -> Floats:
    return np.array([[TAN_MG_L_N], [0.0], [0.0], [HARD_MEQ_L], [capacity], [1000.0]])
