"""The JSON form of a case, cycle-case/1, read with one sentence per fault and written back.

Our additions to the form: a value ``"10-20"`` between two kit colours, the events ``feed``
and ``disinfection``, and ``tan_cap_mg_l_n`` in the plan. Unknown keys are passed over.
"""

import json
from collections.abc import Callable
from typing import Final, cast

from chemistry.cycling.case import (
    USUAL_SALINITY_G_KG,
    AlkalinityAddition,
    AmmoniumDose,
    Case,
    Disinfection,
    DosingPlan,
    Event,
    Feed,
    Inoculation,
    Kind,
    Reading,
    ReadyDefinition,
    SalinityChange,
    System,
    WaterChange,
)
from chemistry.cycling.fields import BadCase, Fields, shown
from chemistry.cycling.values import BASES, PARAMETERS, canonical, span, units_of

FORMAT: Final = "cycle-case/1"
FEWEST_TAN_READINGS: Final = 3
LONGEST_CASE_H: Final = 17520.0  # two years
_PLAUSIBLE: Final = {
    "tan": (0.0, 500.0),
    "nitrite": (0.0, 500.0),
    "nitrate": (0.0, 5000.0),
    "ph": (2.0, 12.0),
    "alkalinity": (0.0, 60.0),
    "temperature": (-2.0, 50.0),
    "salinity": (0.0, 80.0),
}
_ABOUT_ALKALINITY: Final = ("adds_alkalinity_when_ph_at_or_below", "alkalinity_step_meq_l")
_LARGEST_MG_L_N: Final = 100.0  # of a plan or a definition
_MOST_DIGITS: Final = 300
_NEEDS_NUMBER: Final = ("ph", "temperature", "salinity")


def read_case(text: str, *, fewest_tan_readings: int = FEWEST_TAN_READINGS) -> Case:
    """Return the case in ``text``; fewer TAN readings leave little but the priors to forecast from.

    Raises:
        BadCase: with one sentence naming the line or the key, and the mend.
    """
    fields = Fields(_parsed(text))
    fields.choice("format", (FORMAT,))
    case = Case(
        now_h=fields.number("now_h", high=LONGEST_CASE_H),
        system=_system(fields.inner("system")),
        events=tuple(_event(event) for event in fields.each("events")),
        readings=tuple(_reading(reading) for reading in fields.each("readings")),
        plan=_plan(fields.inner("dosing_plan", {})),
        ready=_ready(fields.inner("ready_definition", {})),
    )
    return _told_enough(case, fewest=fewest_tan_readings)


def _parsed(text: str) -> object:
    try:
        return cast("object", json.loads(text, parse_int=_whole))
    except json.JSONDecodeError as fault:
        raise BadCase(
            f"Line {fault.lineno}, column {fault.colno}: this is not JSON ({fault.msg.lower()})."
        ) from fault
    except RecursionError as fault:
        raise BadCase("Line 1: the brackets are nested too deeply to be a case.") from fault


def _whole(digits: str) -> int | float:
    """Return the integer, or infinity, which no key takes, for one that no float can hold."""
    return int(digits) if len(digits) <= _MOST_DIGITS else float("inf")


def _told_enough(case: Case, *, fewest: int) -> Case:
    known = len(case.up_to_now().of("tan"))
    if known < fewest:
        raise BadCase(
            f"readings: a forecast needs at least {fewest} TAN readings up to now_h, "
            f"here {'is' if known == 1 else 'are'} {known or 'none'}."
        )
    return case


def _system(fields: Fields) -> System:
    water = cast("Kind", fields.choice("water", ("fresh", "brackish", "marine")))
    return System(
        water=water,
        temperature_setpoint_c=fields.number("temperature_setpoint_c", 26.0, low=0.0, high=45.0),
        salinity_ppt=fields.number("salinity_ppt", USUAL_SALINITY_G_KG[water], high=80.0),
        substrate=fields.truth("substrate", default=True),
    )


def _plan(fields: Fields) -> DosingPlan:
    """Return the plan; a null about alkalinity says that nobody ever adds any."""
    usual = DosingPlan()
    buffers = not any(fields.is_null(key) for key in _ABOUT_ALKALINITY)
    return DosingPlan(
        tan_at_or_below_mg_l_n=fields.number(
            "tan_at_or_below_mg_l_n", usual.tan_at_or_below_mg_l_n
        ),
        nitrite_at_or_below_mg_l_n=fields.number(
            "nitrite_at_or_below_mg_l_n", usual.nitrite_at_or_below_mg_l_n
        ),
        redose_mg_l_n=fields.number("redose_mg_l_n", usual.redose_mg_l_n, high=_LARGEST_MG_L_N),
        checks_per_day=fields.whole("checks_per_day", 1, low=1, high=24),
        adds_alkalinity_when_ph_at_or_below=fields.number(
            "adds_alkalinity_when_ph_at_or_below", usual.adds_alkalinity_when_ph_at_or_below
        ),
        alkalinity_step_meq_l=fields.number(
            "alkalinity_step_meq_l", usual.alkalinity_step_meq_l, high=20.0
        )
        if buffers
        else 0.0,
        tan_cap_mg_l_n=fields.number("tan_cap_mg_l_n", usual.tan_cap_mg_l_n, low=0.1),
    )


def _ready(fields: Fields) -> ReadyDefinition:
    usual = ReadyDefinition()
    return ReadyDefinition(
        challenge_mg_l_n=fields.number(
            "challenge_mg_l_n", usual.challenge_mg_l_n, low=0.1, high=_LARGEST_MG_L_N
        ),
        window_h=fields.number("window_h", usual.window_h, low=1.0, high=240.0),
        tan_limit_mg_l_n=fields.number("tan_limit_mg_l_n", usual.tan_limit_mg_l_n, low=0.001),
        nitrite_limit_mg_l_n=fields.number(
            "nitrite_limit_mg_l_n", usual.nitrite_limit_mg_l_n, low=0.001
        ),
        sustained_h=fields.number("sustained_h", usual.sustained_h, high=240.0),
        horizon_h=fields.number("horizon_h", usual.horizon_h, low=24.0, high=9600.0),
    )


def _event(fields: Fields) -> Event:
    kind = fields.choice("kind", tuple(_EVENTS))
    return _EVENTS[kind](fields, fields.number("t_h"))


def _dose(fields: Fields, t_h: float) -> AmmoniumDose:
    fields.choice("unit", ("mg/L",), "mg/L")
    return AmmoniumDose(
        t_h=t_h,
        amount=fields.number("amount", high=500.0),
        basis=fields.choice("basis", BASES["tan"]),
    )


def _alkalinity(fields: Fields, t_h: float) -> AlkalinityAddition:
    return AlkalinityAddition(
        t_h=t_h,
        amount=fields.number("amount", high=3000.0),
        unit=fields.choice("unit", units_of("alkalinity")),
    )


def _salinity(fields: Fields, t_h: float) -> SalinityChange:
    return SalinityChange(t_h=t_h, salinity_ppt=fields.number("salinity_ppt", high=80.0))


def _water_change(fields: Fields, t_h: float) -> WaterChange:
    return WaterChange(
        t_h=t_h,
        fraction=fields.number("fraction", high=1.0),
        source_alkalinity_meq_l=fields.number("source_alkalinity_meq_l", 2.0, high=60.0),
        source_tan_mg_l_n=fields.number("source_tan_mg_l_n", 0.0, high=100.0),
    )


def _feed(fields: Fields, t_h: float) -> Feed:
    return Feed(
        t_h=t_h,
        feed_g=fields.number("feed_g", high=1e6),
        protein=fields.number("protein", low=0.02, high=0.95),
        volume_l=fields.number("volume_l", low=0.1, high=1e7),
    )


_EVENTS: Final[dict[str, Callable[[Fields, float], Event]]] = {
    "inoculate": lambda _, t_h: Inoculation(t_h=t_h),
    "dose_nh4cl": _dose,
    "add_alkalinity": _alkalinity,
    "salinity_change": _salinity,
    "water_change": _water_change,
    "feed": _feed,
    "disinfection": lambda _, t_h: Disinfection(t_h=t_h),
}


def _reading(fields: Fields) -> Reading:
    parameter = fields.choice("parameter", PARAMETERS)
    reading = Reading(
        t_h=fields.number("t_h"),
        parameter=parameter,
        value=_value(fields, parameter),
        unit=fields.choice("unit", units_of(parameter)),
        basis=_basis(fields, parameter),
    )
    return _plausible(reading, at=fields.at("value"))


def _value(fields: Fields, parameter: str) -> float | str:
    written = fields.raw("value")
    if isinstance(written, str):
        return _text_value(written, parameter, at=fields.at("value"))
    return fields.number("value", low=-1000.0)


def _text_value(written: str, parameter: str, *, at: str) -> str:
    try:
        plain = span(written).is_exact
    except ValueError as fault:
        raise BadCase(
            f'{at}: {shown(written)} is not a value; write a number, "<0.25", ">5" or "10-20".'
        ) from fault
    if parameter in _NEEDS_NUMBER and not plain:
        raise BadCase(f"{at}: {parameter} needs a number, not {shown(written)}.")
    return written


def _basis(fields: Fields, parameter: str) -> str | None:
    if parameter in BASES:
        return fields.choice("basis", BASES[parameter])
    return fields.text("basis") if fields.has("basis") else None


def _plausible(reading: Reading, *, at: str) -> Reading:
    low, high = _PLAUSIBLE[reading.parameter]
    told = canonical(
        reading.value, parameter=reading.parameter, unit=reading.unit, basis=reading.basis
    )
    finite = [end for end in (told.low, told.high) if abs(end) != float("inf")]
    if all(low <= end <= high for end in finite):
        return reading
    raise BadCase(
        f"{at}: {reading.value} {reading.unit} cannot be a {reading.parameter}; "
        "look at the number and its unit."
    )
