"""How often animals in quarantine are looked at, as data: common practice, no source."""

from datetime import time, timedelta
from typing import Final

from tanks.rules.default_duties import NO_SOURCE, DefaultDuty

LOOK: Final = DefaultDuty(
    key="quarantine-look",
    of="QUARANTINE_TANK",
    kind="WALK",
    title="Look at the animals of {place}: feeding, breathing, signs, count",
    rule="FREQ=DAILY",
    clock=time(9, 30),
    minutes=2,
    why=f"Each tank in quarantine each day: {NO_SOURCE}.",
    opens_before=timedelta(hours=3),
    late_after=timedelta(hours=9),
    asks={"deeds": ["quarantine.log-observation"], "exactly": True},
)
