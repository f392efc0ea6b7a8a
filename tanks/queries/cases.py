"""A start-up as a case file, cycle-case/1: what the forecast is made from."""

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any, Final

from tanks.models import Cycle, Dose, Feeding, Incident, Product, Reading, Seeding, WaterChange
from tanks.queries.cycles import Course, course, dosed_mg_l_n, is_ammonia, pure_g
from tanks.queries.readings import latest_before
from tanks.queries.stories import Story, standing
from tanks.rules.implied import implied_meq_l
from tanks.rules.terms import Terms

FORMAT: Final = "cycle-case/1"
# When a keeper buffers in the plan "as planned", and by how much; common practice, no source.
BUFFERS_AT_PH: Final = 7.4
ALKALINITY_STEP_MEQ_L: Final = 1.5
HORIZON_H: Final = 1800.0
SUSTAINED_H: Final = 24.0
_MUST_BE_PLAIN: Final = {"PH", "TEMPERATURE", "SALINITY"}
_LEFT_OUT: Final = {"OXYGEN", "CHLORINE"}
_KILLS: Final = {
    Incident.Kind.DISINFECTANT.value,
    Incident.Kind.MEDIA_DRIED.value,
    Incident.Kind.MEDIA_REPLACED.value,
}


def case_of(cycle: Cycle, *, at: datetime) -> dict[str, Any]:
    """Return what is known of the start-up at ``at``, from its start; hours count from there.

    Readings taken shortly before the start stand at hour 0: the first alkalinity decides much.
    """
    told = course(cycle, at=at)
    events = sorted(_events(told.story, told.terms), key=lambda event: float(event["t_h"]))
    readings = [*_first_readings(told), *_readings(told.story)]
    moments = [float(entry["t_h"]) for entry in (*events, *readings)]
    return {
        "format": FORMAT,
        "now_h": max([round(_hours(cycle, told.at), 1), *moments]),
        "system": {
            "water": cycle.water_kind.lower(),
            "substrate": cycle.has_substrate,
            "temperature_setpoint_c": float(cycle.cycling_temperature_c),
            "salinity_ppt": float(cycle.cycling_salinity_g_kg),
        },
        "dosing_plan": _dosing_plan(told.terms),
        "ready_definition": _ready_definition(told),
        "events": events,
        "readings": readings,
    }


def _dosing_plan(terms: Terms) -> dict[str, Any]:
    return {
        "tan_at_or_below_mg_l_n": terms.redose_tan_mg_l_n,
        "nitrite_at_or_below_mg_l_n": terms.redose_nitrite_mg_l_n,
        "redose_mg_l_n": terms.dose_mg_l_n,
        "checks_per_day": 1,
        "adds_alkalinity_when_ph_at_or_below": BUFFERS_AT_PH,
        "alkalinity_step_meq_l": ALKALINITY_STEP_MEQ_L,
        "tan_cap_mg_l_n": terms.tan_cap_mg_l_n,
    }


def _ready_definition(told: Course) -> dict[str, Any]:
    return {
        "challenge_mg_l_n": told.load_mg_l_n or told.terms.challenge_mg_l_n,
        "window_h": told.terms.challenge_hours,
        "tan_limit_mg_l_n": told.terms.challenge_limit_mg_l_n,
        "nitrite_limit_mg_l_n": told.terms.challenge_limit_mg_l_n,
        "sustained_h": SUSTAINED_H,
        "horizon_h": HORIZON_H,
    }


def _events(told: Story, terms: Terms) -> Iterator[dict[str, Any]]:
    yield from _seedings(told.cycle, standing(told.seedings))
    yield from _doses(told.cycle, standing(told.doses))
    yield from _water_changes(told.cycle, standing(told.water_changes))
    yield from _feedings(told.cycle, standing(told.feedings))
    yield from _disinfections(told.cycle, standing(told.incidents), terms)
    yield from _salinity_steps(told)


def _seedings(cycle: Cycle, rows: Iterable[Seeding]) -> Iterator[dict[str, Any]]:
    for row in rows:
        yield {"t_h": _hours(cycle, row.happened_at), "kind": "inoculate"}


def _doses(cycle: Cycle, rows: Iterable[Dose]) -> Iterator[dict[str, Any]]:
    for row in rows:
        t_h = _hours(cycle, row.happened_at)
        if is_ammonia(row):
            amount = round(dosed_mg_l_n(row), 4)
            yield {
                "t_h": t_h,
                "kind": "dose_nh4cl",
                "amount": amount,
                "unit": "mg/L",
                "basis": "N",
            }
        rise = implied_meq_l(
            substance=row.product.substance, pure_g=pure_g(row), volume_l=float(row.water_litres)
        )
        if rise is not None:
            amount = round(rise, 4)
            yield {"t_h": t_h, "kind": "add_alkalinity", "amount": amount, "unit": "meq/L"}


def _water_changes(cycle: Cycle, rows: Iterable[WaterChange]) -> Iterator[dict[str, Any]]:
    for row in rows:
        source = {
            "source_alkalinity_meq_l": row.source_alkalinity_meq_l,
            "source_tan_mg_l_n": row.source_tan_mg_l_n,
        }
        yield {
            "t_h": _hours(cycle, row.happened_at),
            "kind": "water_change",
            "fraction": _fraction(row),
            **{key: float(value) for key, value in source.items() if value is not None},
        }


def _feedings(cycle: Cycle, rows: Iterable[Feeding]) -> Iterator[dict[str, Any]]:
    for row in rows:
        yield {
            "t_h": _hours(cycle, row.happened_at),
            "kind": "feed",
            "feed_g": float(row.grams),
            "protein": float(row.protein_share),
            "volume_l": float(row.water_litres),
        }


def _disinfections(
    cycle: Cycle, rows: Iterable[Incident], terms: Terms
) -> Iterator[dict[str, Any]]:
    for row in rows:
        is_long = row.lasted_h is None or float(row.lasted_h) > terms.power_loss_hours
        if row.kind in _KILLS or (row.kind == Incident.Kind.POWER_LOSS and is_long):
            yield {"t_h": _hours(cycle, row.happened_at), "kind": "disinfection"}


def _salinity_steps(told: Story) -> Iterator[dict[str, Any]]:
    """Follow salinity through readings, salt and exchanged water; the last two make steps."""
    salinity = float(told.cycle.cycling_salinity_g_kg)
    for row in told.facts():
        match row:
            case Reading(parameter=Reading.Parameter.SALINITY) if _holds(row):
                salinity = row.interval.low
                continue
            case Dose(product=Product(substance=Product.Substance.SEA_SALT)) if _holds(row):
                after = salinity + _salt_rise_g_kg(row)
            case WaterChange(source_salinity_g_kg=Decimal() as source) if _holds(row):
                after = salinity + _fraction(row) * (float(source) - salinity)
            case _:
                continue
        t_h = _hours(told.cycle, row.happened_at)
        yield {"t_h": t_h, "kind": "salinity_change", "salinity_ppt": round(after, 3)}
        salinity = after


def _salt_rise_g_kg(row: Dose) -> float:
    """Proportional to what was computed for the target; within 1 % of the rise."""
    return float(row.target * row.amount / row.computed_amount)


def _fraction(row: WaterChange) -> float:
    return round(float(row.litres / row.water_litres), 5)


def _holds(row: Any) -> bool:
    return bool(standing([row]))


def _first_readings(told: Course) -> Iterator[dict[str, Any]]:
    cycle = told.cycle
    fresh = timedelta(hours=told.terms.reading_fresh_hours)
    for row in latest_before(cycle.vessel, at=cycle.started_at).values():
        if cycle.started_at - row.happened_at <= fresh and (entry := _reading(row)):
            yield {"t_h": 0.0, **entry}


def _readings(told: Story) -> Iterator[dict[str, Any]]:
    for row in standing(told.readings):
        if entry := _reading(row):
            yield {"t_h": _hours(told.cycle, row.happened_at), **entry}


def _reading(row: Reading) -> dict[str, Any] | None:
    """The reading as entered, or None for one the forecast has no use for."""
    is_plain = row.qualifier == Reading.Qualifier.EQUAL
    if row.parameter in _LEFT_OUT or (row.parameter in _MUST_BE_PLAIN and not is_plain):
        return None
    parameter = row.parameter.lower()
    if row.parameter == Reading.Parameter.SALINITY:
        # Specific gravity and conductivity become g/kg; the case file knows no other unit.
        salinity = round(row.interval.low, 3)
        return {"parameter": parameter, "unit": "g/kg", "value": salinity}
    basis = {"basis": row.basis} if row.basis else {}
    return {"parameter": parameter, "unit": row.unit, **basis, "value": _value(row)}


def _value(row: Reading) -> float | str:
    match row.qualifier:
        case Reading.Qualifier.BELOW:
            return f"<{_digits(row.value)}"
        case Reading.Qualifier.ABOVE:
            return f">{_digits(row.value)}"
        case Reading.Qualifier.BETWEEN if row.upper is not None:
            return f"{_digits(row.value)}-{_digits(row.upper)}"
        case _:
            return float(row.value)


def _digits(value: Decimal) -> str:
    return f"{value.normalize():f}"


def _hours(cycle: Cycle, moment: datetime) -> float:
    return round(max((moment - cycle.started_at) / timedelta(hours=1), 0.0), 4)
