"""The figures of a site's policy as the rules use them."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """How this site starts and proves biofilters. Names and units are the policy's own."""

    temperature_low_c: float
    temperature_high_c: float
    marine_salinity_low_g_kg: float
    marine_salinity_high_g_kg: float
    tan_cap_mg_l_n: float
    dose_mg_l_n: float
    redose_tan_mg_l_n: float
    redose_nitrite_mg_l_n: float
    alkalinity_low_meq_l: float
    oxygen_low_percent: float
    challenge_mg_l_n: float
    challenge_hours: float
    challenge_limit_mg_l_n: float
    passes_needed: int
    unfed_days: float
    power_loss_hours: float
    ph_floor: float
    reading_fresh_hours: float
