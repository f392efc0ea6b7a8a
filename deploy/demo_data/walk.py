"""A start-up as its keepers go through it: they know only what they read."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from deploy.demo_data import entries
from deploy.demo_data.acts import Act, Weeks, dice, ident
from deploy.demo_data.basin import Basin
from deploy.demo_data.entries import Deed
from deploy.demo_data.methods import METHODS
from deploy.demo_data.startups import Plan
from tanks.rules.dosing import Start
from tanks.rules.values import Interval, canonical, parse_entry

DOSE_MG_L_N: Final = 2.0
_REDOSE_TAN_MG_L_N: Final = 0.5
_REDOSE_NITRITE_MG_L_N: Final = 2.0
_BUDGET_MEQ_L: Final = 0.786
_BUFFER_STEP_MEQ_L: Final = 1.5

PRODUCTS: Final = {
    "AMMONIA": "ammonia stock",
    "CHALLENGE": "ammonia stock",
    "ALKALINITY": "bicarbonate",
    "DECHLORINATE": "dechlorinator",
    "SALINITY": "salt",
}


class Walk:
    """``read`` holds what each parameter last read, in canonical units."""

    def __init__(self, plan: Plan, weeks: Weeks) -> None:
        self.plan = plan
        self.weeks = weeks
        self.chance = dice(f"start-up {plan.code}")
        self.basin = Basin(
            plan.nature, temperature_c=plan.temperature_c, salinity_g_kg=plan.salinity_g_kg
        )
        self.now = self.at(0, "10:00")
        self.read: dict[str, Interval] = {}

    @property
    def cycle_id(self) -> UUID:
        return ident(f"cycle:{self.plan.code}")

    def at(self, day: int, clock: str, *, minutes: float = 0.0) -> datetime:
        return self.weeks.at(self.plan.day + day, clock, minutes=minutes)

    def keeper(self) -> str:
        return self.plan.keepers[int(self.chance.integers(len(self.plan.keepers)))]

    def live_until(self, moment: datetime) -> None:
        if moment > self.now:
            self.basin.live((moment - self.now) / timedelta(hours=1))
            self.now = moment

    def sampled(self, name: str, moment: datetime, *parameters: str) -> Act:
        """Read the water as it is at that moment, by the plan's methods."""
        self.live_until(moment)
        texts = {
            self.plan.methods[parameter]: self._text(parameter)
            for parameter in parameters
            if parameter != "SALINITY" or self.plan.is_salt
        }
        return entries.sample(self.deed(name, moment), texts=texts)

    def dosed(self, name: str, moment: datetime, purpose: str, target: float) -> Act:
        """Put in what the target takes; the water has it at once."""
        self.live_until(moment)
        start = self._start()
        self._take(purpose, target)
        return entries.dose(
            self.deed(name, moment),
            purpose=purpose,
            target=target,
            product=PRODUCTS[purpose],
            litres=self.plan.litres,
            start=start,
        )

    def deed(self, name: str, moment: datetime) -> Deed:
        return Deed(name=self.named(name), code=self.plan.code, at=moment, by=self.keeper())

    def named(self, name: str) -> str:
        return f"{self.plan.code}:{name}"

    def ordinary(self, day: int) -> Iterator[Act]:
        """Sample and do what the readings ask for, unless nobody came."""
        if day not in self.plan.skipped:
            yield from self.sampled_then(day, feeds=True)

    def sampled_then(self, day: int, *, feeds: bool) -> Iterator[Act]:
        moment = self.at(day, "09:00", minutes=float(self.chance.integers(0, 25)))
        yield self.sampled(str(day), moment, *self._asked(day))
        if feeds:
            yield from self.tended(day, moment)

    def tended(self, day: int, moment: datetime) -> Iterator[Act]:
        """Buffer and feed the filter where the readings allow it."""
        if self._top("ALKALINITY") < self.plan.buffers_below_meq_l:
            yield self.dosed(
                f"{day} buffer", moment + timedelta(minutes=15), "ALKALINITY", _BUFFER_STEP_MEQ_L
            )
            del self.read["ALKALINITY"]
        if self._is_hungry():
            yield self.dosed(str(day), moment + timedelta(minutes=25), "AMMONIA", DOSE_MG_L_N)

    def _text(self, parameter: str) -> str:
        """What was written down, and remember what it says."""
        means = METHODS[self.plan.methods[parameter]]
        text = means.text(self._truth(parameter), self.chance)
        entered = parse_entry(text)
        if parameter != "OXYGEN":
            self.read[parameter] = canonical(
                parameter,
                entered.qualifier,
                entered.value,
                entered.upper,
                means.unit,
                means.basis,
            )
        return text

    def _truth(self, parameter: str) -> float:
        match parameter:
            case "OXYGEN":
                is_share = METHODS[self.plan.methods["OXYGEN"]].unit == "%"
                return 94.0 if is_share else 7.4
            case "CHLORINE":
                return 0.0
        return self.basin.truth()[parameter]

    def _take(self, purpose: str, target: float) -> None:
        match purpose:
            case "AMMONIA" | "CHALLENGE":
                self.basin.dose(target)
            case "ALKALINITY":
                self.basin.buffer(target)
            case "SALINITY":
                self.basin.salt(target)

    def _start(self) -> Start:
        truth = self.basin.truth()
        return Start(salinity_g_kg=truth["SALINITY"], temperature_c=truth["TEMPERATURE"])

    def _asked(self, day: int) -> tuple[str, ...]:
        often = {"ALKALINITY": self.plan.alkalinity_every, "NITRATE": 7, "SALINITY": 2}
        more = (parameter for parameter, days in often.items() if day % days == 0)
        return ("TAN", "NITRITE", "PH", "TEMPERATURE", *more)

    def _is_hungry(self) -> bool:
        is_low = self._top("TAN") <= _REDOSE_TAN_MG_L_N
        is_clear = self._top("NITRITE") <= _REDOSE_NITRITE_MG_L_N
        held = self.read.get("ALKALINITY")
        # Whoever has not read alkalinity lately does not know that it is gone.
        return is_low and is_clear and (held is None or held.low >= _BUDGET_MEQ_L)

    def _top(self, parameter: str) -> float:
        found = self.read.get(parameter)
        return found.top if found else float("inf")
