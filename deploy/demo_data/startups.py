"""The start-ups: on schedule, nitrite standing, stalled, proven, stocked; and a row begun long ago.

The row of small tanks began together eight weeks ago; all passed but one, which was given up.
"""

from dataclasses import dataclass, field
from typing import Final

from deploy.demo_data.acts import TODAY
from deploy.demo_data.basin import Nature
from deploy.demo_data.house import litres_of

_BY_KIT: Final = {
    "TAN": "tan kit",
    "NITRITE": "nitrite kit",
    "NITRATE": "nitrate kit",
    "PH": "ph probe",
    "ALKALINITY": "alkalinity drops",
    "TEMPERATURE": "temperature probe",
    "SALINITY": "salinity probe",
    "OXYGEN": "oxygen share",
    "CHLORINE": "chlorine photometer",
}
_BY_BENCH: Final = _BY_KIT | {
    "TAN": "tan photometer",
    "NITRITE": "nitrite photometer",
    "NITRATE": "nitrate photometer",
    "ALKALINITY": "alkalinity burette",
    "OXYGEN": "oxygen probe",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Days count from the start, which is on ``day`` of the eight weeks.

    ``skipped`` are days nobody came; alkalinity is read every ``alkalinity_every`` days and
    raised below ``buffers_below_meq_l``; ``proves_on`` is the day of the first challenge dose.
    ``left_off`` devices stay off, due back on that day.
    """

    code: str
    day: int
    water_kind: str
    seed: str
    seed_origin: str
    feed_g: str
    nature: Nature
    keepers: tuple[str, ...]
    temperature_c: float = 27.5
    salinity_g_kg: float = 0.3
    stocking_temperature_c: float = 25.0
    stocking_salinity_g_kg: float = 0.3
    has_substrate: bool = False
    methods: dict[str, str] = field(default_factory=lambda: dict(_BY_KIT))
    skipped: frozenset[int] = frozenset()
    alkalinity_every: int = 3
    buffers_below_meq_l: float = 0.0
    proves_on: int | None = None
    signer: str = ""
    ramps_on: int | None = None
    ramp_days: int = 4
    stocks_on: int | None = None
    stock: tuple[int, str] = (0, "")
    given_up_on: int | None = None
    left_off: dict[str, int] = field(default_factory=dict)

    @property
    def litres(self) -> float:
        return litres_of(self.code)

    @property
    def last_day(self) -> int:
        ends = [day for day in (self.stocks_on, self.given_up_on) if day is not None]
        return min(ends, default=TODAY - self.day)

    @property
    def is_salt(self) -> bool:
        return self.water_kind != "FRESH"


FRESH: Final = Plan(
    code="X-01",
    day=TODAY - 9,
    water_kind="FRESH",
    seed="CULTURE",
    seed_origin="",
    feed_g="95",
    nature=Nature(seed_mg_l_d=(0.45, 0.1), alkalinity_meq_l=3.1, kappa=2.3),
    keepers=("jun", "kasim"),
    has_substrate=True,
    skipped=frozenset({5}),
    buffers_below_meq_l=2.0,
    left_off={"UV": 10},
)
NITRITE: Final = Plan(
    code="Z-01",
    day=TODAY - 20,
    water_kind="MARINE",
    seed="CULTURE",
    seed_origin="",
    feed_g="10",
    nature=Nature(seed_mg_l_d=(0.4, 3e-5), alkalinity_meq_l=3.1),
    keepers=("kasim", "tove"),
    temperature_c=27.0,
    salinity_g_kg=19.0,
    stocking_salinity_g_kg=34.0,
    skipped=frozenset({6, 7, 13, 16}),
    buffers_below_meq_l=2.0,
)
STALLED: Final = Plan(
    code="B2",
    day=TODAY - 19,
    water_kind="FRESH",
    seed="CULTURE",
    seed_origin="",
    feed_g="22",
    nature=Nature(
        seed_mg_l_d=(0.3, 0.12), alkalinity_meq_l=0.75, kappa=0.6, dissolves_meq_l_d=0.015
    ),
    keepers=("tove", "jun"),
    temperature_c=27.0,
    stocking_temperature_c=26.0,
    skipped=frozenset({6, 13}),
    alkalinity_every=15,
    left_off={"MECHANICAL": 17},
)
PROVEN: Final = Plan(
    code="E1",
    day=TODAY - 24,
    water_kind="MARINE",
    seed="CULTURE",
    seed_origin="",
    feed_g="125",
    nature=Nature(seed_mg_l_d=(0.5, 0.06), alkalinity_meq_l=3.2, kappa=2.1),
    keepers=("jun", "kasim"),
    temperature_c=28.0,
    salinity_g_kg=19.0,
    stocking_salinity_g_kg=33.0,
    methods=_BY_BENCH,
    skipped=frozenset({4, 11}),
    buffers_below_meq_l=2.2,
    proves_on=17,
    signer="marit",
    ramps_on=23,
)
STOCKED: Final = Plan(
    code="Q1",
    day=1,
    water_kind="FRESH",
    seed="MATURE_MEDIA",
    seed_origin="Community row (S1), running since 2024, no clinical signs in the last 60 days",
    feed_g="34",
    nature=Nature(seed_mg_l_d=(1.4, 0.6), alkalinity_meq_l=3.0, kappa=2.3),
    keepers=("jun", "kasim"),
    temperature_c=28.0,
    methods=_BY_BENCH,
    skipped=frozenset({6}),
    buffers_below_meq_l=2.0,
    proves_on=14,
    signer="tove",
    ramps_on=17,
    ramp_days=3,
    stocks_on=22,
    stock=(48, "neon tetra, Paracheirodon innesi, in four tanks"),
)


def _small(
    code: str,
    seed_mg_l_d: tuple[float, float],
    *,
    proves_on: int | None,
    stock: tuple[int, str] = (0, ""),
    given_up_on: int | None = None,
    skipped: frozenset[int] = frozenset(),
) -> Plan:
    """A tank on its own, begun in the first week with all the others of its row."""
    return Plan(
        code=code,
        day=1,
        water_kind="FRESH",
        seed="CULTURE",
        seed_origin="",
        feed_g="1.2",
        nature=Nature(seed_mg_l_d=seed_mg_l_d, alkalinity_meq_l=3.0, kappa=2.3),
        keepers=("jun", "kasim"),
        temperature_c=26.5,
        stocking_temperature_c=26.5,
        methods=_BY_BENCH,
        skipped=skipped,
        buffers_below_meq_l=2.0,
        proves_on=proves_on,
        signer="tove",
        stocks_on=None if proves_on is None else proves_on + 5,
        stock=stock,
        given_up_on=given_up_on,
    )


SMALL: Final = (
    _small("P-01", (0.5, 0.25), proves_on=9, stock=(2, "kribensis, a pair")),
    _small("P-02", (0.15, 0.06), proves_on=12, stock=(2, "ram cichlid, a pair")),
    _small(
        "P-04",
        (0.05, 0.02),
        proves_on=15,
        stock=(2, "shell dweller, a pair"),
        skipped=frozenset({6}),
    ),
    _small("P-05", (0.5, 3e-4), proves_on=22, stock=(2, "shell dweller, a pair")),
    _small("P-06", (2e-3, 1e-3), proves_on=26, stock=(2, "ram cichlid, a pair")),
    _small("Z-02", (0.3, 0.02), proves_on=13, stock=(6, "corydoras from the spring delivery")),
    _small("Z-03", (0.25, 0.2), proves_on=10, stock=(8, "harlequin from the spring delivery")),
    _small("Z-04", (1e-6, 1e-6), proves_on=None, given_up_on=27, skipped=frozenset({8, 15, 16})),
)
PLANS: Final = (FRESH, NITRITE, STALLED, PROVEN, STOCKED, *SMALL)
