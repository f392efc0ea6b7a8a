"""Where a water stands on its way to the stocking values."""

from collections.abc import Iterable
from datetime import date, datetime

from tanks.models import Cycle, Ramp
from tanks.queries.dosing import middle
from tanks.queries.readings import history, latest_in
from tanks.queries.waters import Water, spans_of
from tanks.rules.ramps import Progress, progress, read_back


def now_at(cycle: Cycle, water: Water, *, of: str) -> float:
    """Return what was read last during the start-up, or else the value it was begun at."""
    reading = latest_in(water).get(of)
    if reading is not None and reading.happened_at >= cycle.started_at:
        return middle(reading.interval)
    is_salinity = of == Ramp.Of.SALINITY
    return float(cycle.cycling_salinity_g_kg if is_salinity else cycle.cycling_temperature_c)


def stocking_value(cycle: Cycle, *, of: str) -> float:
    is_salinity = of == Ramp.Of.SALINITY
    return float(cycle.stocking_salinity_g_kg if is_salinity else cycle.stocking_temperature_c)


def ramps_in_force(cycle: Cycle) -> dict[str, Ramp]:
    """The latest plan of each kind; earlier ones stay to be seen in the story."""
    rows: Iterable[Ramp] = Ramp.objects.current().filter(cycle=cycle).select_related("by")
    return {ramp.of: ramp for ramp in sorted(rows, key=lambda row: (row.happened_at, str(row.pk)))}


def progress_of(ramp: Ramp, *, at: datetime) -> list[Progress]:
    """How each step stands, from the readings of the water since it was planned."""
    vessel = ramp.cycle.vessel
    read = history(spans_of(vessel, since=ramp.happened_at, until=at)).filter(parameter=ramp.of)
    return list(
        progress(
            read_back(ramp.steps),
            of=ramp.of,
            begin=float(ramp.begin),
            read=[row.interval for row in read],
            today=_today(ramp, at),
        )
    )


def _today(ramp: Ramp, at: datetime) -> date:
    return at.astimezone(ramp.cycle.vessel.site.zone).date()
