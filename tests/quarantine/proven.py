"""A water of which everything the gate asks is known and met, for tests to take things from."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any, Final
from uuid import UUID
from zoneinfo import ZoneInfo

from quarantine.rules.known import Certified, Conditions, Edges, Known, Ramp, StartUp, Trial
from tanks.rules.certificates import InForce
from tanks.rules.measured import Measured
from tanks.rules.preparation import Appliance
from tests.tanks.weighed import terms_of

AT: Final = datetime(2026, 5, 4, 12, tzinfo=UTC)
TANK, SUMP, OTHER = UUID(int=1), UUID(int=2), UUID(int=3)
READER, SIGNER = UUID(int=11), UUID(int=12)

TERMS: Final = terms_of()
START_UP: Final = StartUp(
    started_at=AT - timedelta(days=30),
    water_kind="MARINE",
    declared_feed_g_per_day=19.0,
    protein_share=0.45,
    cycling_temperature_c=28,
    cycling_salinity_g_kg=26,
    stocking_temperature_c=25,
    stocking_salinity_g_kg=34,
    is_salted=True,
    url="/cycles/1/",
)
CERTIFIED: Final = Certified(
    signed_at=AT - timedelta(days=2),
    signed_by="Vera Lund",
    signer=SIGNER,
    readers=frozenset([READER]),
    feed_g_per_day=19.3,
    protein_share=0.45,
    members={TANK: "A-01", SUMP: "S-1"},
    litres=400.0,
    standing=InForce(fed_at=AT - timedelta(hours=20), lapses_at=AT + timedelta(hours=52)),
    passes=2,
    standing_passes=2,
    corrections_since=0,
    why_undone="",
)
RAMP: Final = Ramp(
    of="SALINITY", end=34.0, planned_at=AT - timedelta(days=4), last_step_on=date(2026, 5, 3)
)
TRIAL: Final = Trial(
    outcome="passed", dosed_at=AT - timedelta(days=3), told="The latest challenge was passed."
)


def read(
    parameter: str,
    low: float,
    high: float | None = None,
    *,
    hours_ago: float = 2,
    text: str = "",
) -> Measured:
    """A reading of one value, or of a span; ``high`` of infinity is over range."""
    return Measured(
        id=UUID(int=100 + len(parameter)),
        parameter=parameter,
        at=AT - timedelta(hours=hours_ago),
        people=frozenset([READER]),
        method=UUID(int=50),
        method_name="Kit",
        method_kind="COLOUR_KIT",
        low=low,
        high=None if high == float("inf") else low if high is None else high,
        text=text or f"{low:g}",
    )


def known(**changes: Any) -> Known:
    met = Known(
        zone=ZoneInfo("Europe/Lisbon"),
        terms=TERMS,
        members={TANK: "A-01", SUMP: "S-1"},
        litres=400.0,
        unmeasured=(),
        start_ups=(START_UP,),
        stocked="",
        certified=CERTIFIED,
        trial=TRIAL,
        proven_in=Conditions(temperature=read("TEMPERATURE", 28), salinity=read("SALINITY", 26)),
        fed_at=AT - timedelta(hours=20),
        latest={
            "TAN": read("TAN", 0, 0.05, text="<0.05 mg/L as N"),
            "NITRITE": read("NITRITE", 0, 0.01, text="<0.01 mg/L as N"),
            "CHLORINE": read("CHLORINE", 0, 0.01, hours_ago=200),
            "PH": read("PH", 8.2),
            "TEMPERATURE": read("TEMPERATURE", 25.2),
            "SALINITY": read("SALINITY", 34.4),
            "OXYGEN": read("OXYGEN", 6.6),
            "ALKALINITY": read("ALKALINITY", 2.4),
        },
        edges={
            "TAN": Edges(low=None, high=0.25, told="the site's limit"),
            "NITRITE": Edges(low=None, high=0.038, told="the site's limit"),
            "PH": Edges(low=8.1, high=None, told="the site's limit of at least 8.1"),
            "OXYGEN": Edges(low=5.5, high=None, told="the site's limit of at least 5.5 mg/L"),
            "ALKALINITY": Edges(low=1.0, high=None, told="the site's limit of at least 1 meq/L"),
        },
        chlorine_limit_mg_l=0.013,
        treated_at=AT - timedelta(hours=300),
        ramps=(RAMP,),
        appliances=(Appliance(name="UV 1", kind="UV", is_on=True),),
        incidents=(),
        urls={},
    )
    return replace(met, **changes)


def with_reading(reading: Measured | None, parameter: str = "") -> Known:
    """The same with one latest reading in another's place, or with none."""
    latest = dict(known().latest)
    latest.pop(reading.parameter if reading else parameter)
    return known(latest=latest | ({reading.parameter: reading} if reading else {}))
