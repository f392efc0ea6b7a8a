"""What the rules of dosing must know of a water at its moment."""

from collections.abc import Mapping
from datetime import timedelta
from typing import Final

from tanks.models import Cycle, Dose, Reading
from tanks.queries.acts import doses_in
from tanks.queries.cycles import dosed_mg_l_n
from tanks.queries.readings import latest_in
from tanks.queries.waters import Water
from tanks.rules.capping import Known
from tanks.rules.dosing import Start, same_effect
from tanks.rules.free_ammonia import Given
from tanks.rules.values import Interval

# Two people dosing the same water on one day: trade practice, no source.
CLOSE_BY: Final = timedelta(hours=12)
_LOOK_BACK: Final = timedelta(days=60)


def dosed_close_by(water: Water, *, purpose: str) -> Dose | None:
    """Return the nearest other dose of the same effect within 12 h of the water's moment."""
    near = doses_in(water, since=water.at - CLOSE_BY, until=water.at + CLOSE_BY)
    found = near.filter(purpose__in=same_effect(purpose))
    return min(found, key=lambda dose: abs(dose.happened_at - water.at), default=None)


def ammonia_known(water: Water, cycle: Cycle | None) -> Known:
    """What is known of TAN in this water, as the cap must see it."""
    since = cycle.started_at if cycle else water.at - _LOOK_BACK
    doses = list(doses_in(water, since=since, until=water.at).filter(purpose__in=_AMMONIA))
    reading = latest_in(water).get(Reading.Parameter.TAN)
    if reading is not None and reading.happened_at < since:
        reading = None
    later = [dose for dose in doses if reading is None or dose.happened_at >= reading.happened_at]
    return Known(
        tan=reading.interval if reading else None,
        read_at=reading.happened_at if reading else None,
        added_mg_l_n=sum(dosed_mg_l_n(dose) for dose in later),
        is_first=not doses,
    )


def start_of(latest: Mapping[str, Reading]) -> Start | None:
    """The salinity and temperature that salt is added to, or None while one is not read."""
    salinity = latest.get(Reading.Parameter.SALINITY)
    temperature = latest.get(Reading.Parameter.TEMPERATURE)
    if salinity is None or temperature is None:
        return None
    return Start(
        salinity_g_kg=middle(salinity.interval), temperature_c=middle(temperature.interval)
    )


def given_of(latest: Mapping[str, Reading]) -> Given | None:
    """What un-ionised ammonia is calculated from, or None while one of it is not read."""
    tan, ph = latest.get(Reading.Parameter.TAN), latest.get(Reading.Parameter.PH)
    temperature = latest.get(Reading.Parameter.TEMPERATURE)
    if tan is None or ph is None or temperature is None:
        return None
    salinity = latest.get(Reading.Parameter.SALINITY)
    return Given(
        tan=tan.interval,
        tan_by=tan.method.kind,
        ph=ph.interval,
        ph_by=ph.method.kind,
        ph_is_total=ph.basis == "TOTAL",
        temperature=temperature.interval,
        salinity=salinity.interval if salinity else None,
    )


def middle(interval: Interval) -> float:
    """The middle of a bracket; over range, its lower edge."""
    return interval.low if interval.high is None else (interval.low + interval.high) / 2


_AMMONIA: Final = same_effect("AMMONIA")
