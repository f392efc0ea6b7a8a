"""What was written down of a simulated start-up, and the truth behind it."""

import json
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from deploy.bench.startups.arrays import Floats
from deploy.bench.startups.scenarios import CAUSES, HORIZON_H, Setting

Row: TypeAlias = dict[str, Any]
_HOURS_A_DAY = 24.0


@dataclass(slots=True, kw_only=True)
class Record:
    """The keeper's book: events and readings in the form of cycle-case/1.

    ``taken`` holds, for each parameter, the last value in canonical units as the keeper takes it:
    zero for "below", half as much again for "above".
    """

    number: int
    setting: Setting
    plan: Row
    events: list[Row] = field(default_factory=list)
    readings: list[Row] = field(default_factory=list)
    taken: dict[str, float] = field(default_factory=dict)
    tan_after_doses: list[tuple[float, float]] = field(default_factory=list)

    def case(self, *, now_h: float) -> Row:
        """Return cycle-case/1 of what was known at ``now_h``."""
        return {
            "format": "cycle-case/1",
            "now_h": now_h,
            "system": {
                "water": self.setting.water,
                "substrate": self.setting.substrate,
                "temperature_setpoint_c": self.setting.temperature_setpoint_c,
                "salinity_ppt": round(self.setting.salinity, 1),
            },
            "dosing_plan": dict(self.plan),
            "ready_definition": {
                "challenge_mg_l_n": 2.0,
                "window_h": 24,
                "tan_limit_mg_l_n": 0.25,
                "nitrite_limit_mg_l_n": 0.25,
                "sustained_h": 24,
                "horizon_h": HORIZON_H,
            },
            "events": [dict(event) for event in self.events if event["t_h"] <= now_h],
            "readings": [dict(reading) for reading in self.readings if reading["t_h"] <= now_h],
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """A keeper before a tank: the readings just taken are already in the book."""

    t_h: float
    record: Record

    @property
    def case(self) -> Row:
        return self.record.case(now_h=self.t_h)

    @property
    def number(self) -> int:
        return self.record.number


@dataclass(frozen=True, slots=True, kw_only=True)
class StartUp:
    """One simulated start-up; ``true_*`` run along ``true_t_h`` and no keeper knows them."""

    record: Record
    ready_at_h: float | None
    true_t_h: Floats
    true_tan_mg_l_n: Floats
    true_nitrite_mg_l_n: Floats
    true_alkalinity_meq_l: Floats
    true_ph: Floats

    @property
    def number(self) -> int:
        return self.record.number

    @property
    def scenario(self) -> str:
        return self.record.setting.scenario

    @property
    def water(self) -> str:
        return self.record.setting.water

    @property
    def is_seeded(self) -> bool:
        return self.record.setting.is_seeded

    @property
    def cause(self) -> str | None:
        """The cause of a stall by the forecast's name for it, None where it has none."""
        return CAUSES.get(self.scenario)

    @property
    def highest_tan_mg_l_n(self) -> float:
        """The highest true TAN right after a dose."""
        return max((tan for _, tan in self.record.tan_after_doses), default=0.0)

    def is_ready_by(self, day: float) -> bool:
        return self.ready_at_h is not None and self.ready_at_h <= day * _HOURS_A_DAY

    def case_at(self, day: float) -> Row:
        return self.record.case(now_h=day * _HOURS_A_DAY)

    def text_at(self, day: float) -> str:
        return json.dumps(self.case_at(day))
