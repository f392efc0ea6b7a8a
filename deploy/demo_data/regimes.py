"""What the waters with animals are like; the values are invented and within the trade's habits."""

from dataclasses import dataclass
from typing import Final

from deploy.demo_data.house import litres_of
from deploy.demo_data.startups import SMALL, STOCKED


@dataclass(frozen=True, slots=True, kw_only=True)
class Regime:
    """``probed_every`` and ``fed_every`` count days; ``nitrate_mg_l_n`` is the weekly middle.

    Where ``fed_every`` is 0 the feed is not written down, as is common in small tanks.
    """

    code: str
    since: int = 0
    temperature_c: float
    ph: float
    alkalinity_meq_l: float
    nitrate_mg_l_n: float
    salinity_g_kg: float = 0.0
    feed_g: float = 0.0
    protein_share: float = 0.44
    probed_every: int = 1
    fed_every: int = 1
    changed_share: float = 0.2
    at_bench: bool = False
    thermometer: str = "temperature probe"
    hydrometer: str = "salinity probe"

    @property
    def litres(self) -> float:
        return litres_of(self.code)


def _small(
    code: str, *, temperature_c: float, ph: float, alkalinity_meq_l: float, nitrate_mg_l_n: float
) -> Regime:
    """A tank on its own with a sponge filter, from the day after its start-up if it had one."""
    return Regime(
        code=code,
        since=_SINCE.get(code, 0),
        temperature_c=temperature_c,
        ph=ph,
        alkalinity_meq_l=alkalinity_meq_l,
        nitrate_mg_l_n=nitrate_mg_l_n,
        probed_every=4,
        fed_every=0,
        changed_share=0.3,
    )


_SINCE: Final = {plan.code: plan.day + plan.last_day + 1 for plan in SMALL}

REGIMES: Final = (
    Regime(
        code="S1",
        temperature_c=25.2,
        ph=7.5,
        alkalinity_meq_l=2.1,
        nitrate_mg_l_n=5.5,
        feed_g=42,
    ),
    Regime(
        code="S2",
        temperature_c=25.4,
        ph=8.24,
        alkalinity_meq_l=2.6,
        nitrate_mg_l_n=8.0,
        salinity_g_kg=33.5,
        feed_g=38,
        changed_share=0.12,
    ),
    Regime(
        code="B1",
        temperature_c=26.1,
        ph=7.1,
        alkalinity_meq_l=1.5,
        nitrate_mg_l_n=4.0,
        feed_g=9,
        protein_share=0.52,
        changed_share=0.35,
    ),
    Regime(
        code="Q1",
        since=STOCKED.day + STOCKED.last_day + 1,
        temperature_c=25.0,
        ph=7.6,
        alkalinity_meq_l=1.9,
        nitrate_mg_l_n=6.0,
        feed_g=11,
    ),
    Regime(
        code="X-02",
        temperature_c=25.0,
        ph=7.9,
        alkalinity_meq_l=2.3,
        nitrate_mg_l_n=5.0,
        salinity_g_kg=12.0,
        feed_g=14,
        probed_every=2,
        fed_every=2,
        at_bench=True,
    ),
    Regime(
        code="X-03",
        temperature_c=24.8,
        ph=8.25,
        alkalinity_meq_l=2.7,
        nitrate_mg_l_n=3.0,
        salinity_g_kg=34.2,
        feed_g=8,
        probed_every=2,
        fed_every=2,
        at_bench=True,
        hydrometer="salinity refractometer",
    ),
    Regime(
        code="X-04",
        temperature_c=24.4,
        ph=8.22,
        alkalinity_meq_l=2.5,
        nitrate_mg_l_n=2.0,
        salinity_g_kg=34.0,
        feed_g=5,
        probed_every=2,
        fed_every=2,
        at_bench=True,
    ),
    _small("A-01", temperature_c=25.0, ph=7.4, alkalinity_meq_l=1.8, nitrate_mg_l_n=4.0),
    Regime(
        code="A-02",
        temperature_c=24.9,
        ph=7.3,
        alkalinity_meq_l=1.7,
        nitrate_mg_l_n=5.0,
        probed_every=4,
        fed_every=0,
        thermometer="temperature glass",
    ),
    _small("A-03", temperature_c=24.6, ph=6.9, alkalinity_meq_l=1.3, nitrate_mg_l_n=2.0),
    _small("A-04", temperature_c=24.2, ph=7.2, alkalinity_meq_l=1.6, nitrate_mg_l_n=2.5),
    _small("P-01", temperature_c=26.0, ph=6.8, alkalinity_meq_l=1.2, nitrate_mg_l_n=2.0),
    _small("P-02", temperature_c=26.1, ph=6.8, alkalinity_meq_l=1.2, nitrate_mg_l_n=2.2),
    _small("P-03", temperature_c=25.8, ph=6.9, alkalinity_meq_l=1.3, nitrate_mg_l_n=2.4),
    _small("P-04", temperature_c=25.9, ph=7.8, alkalinity_meq_l=3.4, nitrate_mg_l_n=4.5),
    _small("P-05", temperature_c=25.9, ph=7.8, alkalinity_meq_l=3.5, nitrate_mg_l_n=4.0),
    _small("P-06", temperature_c=25.7, ph=7.0, alkalinity_meq_l=1.4, nitrate_mg_l_n=2.6),
    _small("Z-02", temperature_c=25.3, ph=7.5, alkalinity_meq_l=1.9, nitrate_mg_l_n=5.0),
    _small("Z-03", temperature_c=25.2, ph=7.5, alkalinity_meq_l=1.9, nitrate_mg_l_n=5.5),
)
