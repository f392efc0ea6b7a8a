"""Reading a simulated water with a keeper's own kits."""

from typing import Final

import numpy as np

from deploy.bench.startups.kits import Shelf, Told
from deploy.bench.startups.records import Record, Row
from deploy.bench.startups.states import State

_DKH_PER_MEQ_L: Final = 2.804
_NBS_ABOVE_SEAWATER_SCALE: Final = 0.13  # at S 35, from memory: about a tenth
_CHANCES: Final = {"nitrate": 0.35, "ph": 0.8, "alkalinity": 0.3, "salinity": 0.25}
_NITROGEN: Final = ("tan", "nitrite", "nitrate")


def read(
    state: State,
    record: Record,
    shelf: Shelf,
    *,
    t_h: float,
    true_c: float,
    rng: np.random.Generator,
) -> None:
    """Write into the book what the keeper reads at ``t_h``; everything at the first visit."""
    told: dict[str, float | Told] = {
        "tan": shelf.tan.read(_true(state.tan, record), rng=rng),
        "nitrite": shelf.nitrite.read(_true(state.nitrite, record), rng=rng),
        "nitrate": _nitrate(state, record, shelf, rng),
        "ph": _ph(state, record, shelf, rng),
        "alkalinity": _hardness_dkh(state, record, shelf, rng),
        "temperature": round(true_c + shelf.thermometer_offset_c + 0.1 * float(rng.normal()), 1),
        "salinity": round(_true(state.salinity, record) * shelf.salinity_bias, 1),
    }
    for parameter, answer in told.items():
        wanted = rng.random() < _CHANCES.get(parameter, 1.0)
        if wanted or not record.readings or (t_h < 1.0 and parameter != "nitrate"):
            _enter(record, parameter, answer, t_h)


def _true(row: np.ndarray[tuple[int], np.dtype[np.float64]], record: Record) -> float:
    return float(row[record.number])


def _nitrate(state: State, record: Record, shelf: Shelf, rng: np.random.Generator) -> Told:
    seen = _true(state.nitrate, record)
    seen += shelf.nitrite_seen_as_nitrate * _true(state.nitrite, record)
    return shelf.nitrate.read(seen, rng=rng)


def _ph(state: State, record: Record, shelf: Shelf, rng: np.random.Generator) -> float:
    salt = min(_true(state.salinity, record) / 35.0, 1.0)
    seen = _true(state.ph, record) + _NBS_ABOVE_SEAWATER_SCALE * salt + shelf.ph_offset
    seen += shelf.ph_error * float(rng.normal())
    return round(round(seen / shelf.ph_step) * shelf.ph_step, 2)


def _hardness_dkh(state: State, record: Record, shelf: Shelf, rng: np.random.Generator) -> float:
    seen = _true(state.alkalinity_meq_l, record) * _DKH_PER_MEQ_L * shelf.hardness_bias
    seen *= 1.0 + 0.05 * float(rng.normal())
    step = shelf.hardness_step_dkh
    return max(0.0, round(round(seen / step) * step, 2))


def _enter(record: Record, parameter: str, answer: float | Told, t_h: float) -> None:
    if isinstance(answer, Told):
        record.taken[parameter] = answer.taken_mg_l_n
        record.readings.append(_row(t_h, parameter, answer.basis, "mg/L", answer.written))
        return
    record.taken[parameter] = answer
    basis, unit = {
        "ph": ("NBS", "pH"),
        "alkalinity": ("CaCO3-dKH", "dKH"),
        "temperature": (None, "degC"),
        "salinity": (None, "ppt"),
    }[parameter]
    record.readings.append(_row(t_h, parameter, basis, unit, answer))


def _row(t_h: float, parameter: str, basis: str | None, unit: str, value: float | str) -> Row:
    row = {"t_h": t_h, "parameter": parameter, "unit": unit, "value": value}
    return row if basis is None else row | {"basis": basis}
