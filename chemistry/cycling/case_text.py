"""A case as cycle-case/1 text: keys in a fixed order, so equal cases are equal texts."""

import json
from dataclasses import asdict
from typing import Any, Final

from chemistry.cycling.case import (
    AlkalinityAddition,
    AmmoniumDose,
    Case,
    Disinfection,
    Event,
    Feed,
    Inoculation,
    Reading,
    SalinityChange,
    WaterChange,
)
from chemistry.cycling.case_file import FORMAT

_KINDS: Final[dict[type[object], str]] = {
    Inoculation: "inoculate",
    AmmoniumDose: "dose_nh4cl",
    AlkalinityAddition: "add_alkalinity",
    SalinityChange: "salinity_change",
    WaterChange: "water_change",
    Feed: "feed",
    Disinfection: "disinfection",
}


def write_case(case: Case) -> str:
    """Return the text ``read_case`` turns into an equal case."""
    content = {
        "format": FORMAT,
        "now_h": case.now_h,
        "system": asdict(case.system),
        "dosing_plan": asdict(case.plan),
        "ready_definition": asdict(case.ready),
        "events": [_event(event) for event in case.events],
        "readings": [_reading(reading) for reading in case.readings],
    }
    return json.dumps(content, indent=1, ensure_ascii=False)


def _event(event: Event) -> dict[str, Any]:
    told = asdict(event)
    unit = {"unit": "mg/L"} if isinstance(event, AmmoniumDose) else {}
    return {"t_h": told.pop("t_h"), "kind": _KINDS[type(event)], **told, **unit}


def _reading(reading: Reading) -> dict[str, Any]:
    return {key: told for key, told in asdict(reading).items() if told is not None}
