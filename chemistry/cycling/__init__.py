"""Biofilter start-up: an ensemble forecast of the first 24-hour pass, its causes and next step.

``read_case`` and ``write_case`` turn cycle-case/1 text into a ``Case`` and back;
``forecast_case`` forecasts it; ``answer`` is the forecast in the exchange shape;
``weigh_departures`` says what leaving the plan would cost.
"""

from chemistry.cycling.advice import NextStep
from chemistry.cycling.bands import Band, Bands
from chemistry.cycling.case import (
    AlkalinityAddition,
    AmmoniumDose,
    Case,
    Disinfection,
    DosingPlan,
    Event,
    Feed,
    Inoculation,
    Reading,
    ReadyDefinition,
    SalinityChange,
    System,
    WaterChange,
)
from chemistry.cycling.case_file import read_case
from chemistry.cycling.case_text import write_case
from chemistry.cycling.deviation import Departure, Deviation
from chemistry.cycling.fields import BadCase
from chemistry.cycling.forecast import (
    Forecast,
    Timing,
    answer,
    forecast_case,
    forecast_cases,
)
from chemistry.cycling.weighing import weigh_departures

__all__ = [
    "AlkalinityAddition",
    "AmmoniumDose",
    "BadCase",
    "Band",
    "Bands",
    "Case",
    "Departure",
    "Deviation",
    "Disinfection",
    "DosingPlan",
    "Event",
    "Feed",
    "Forecast",
    "Inoculation",
    "NextStep",
    "Reading",
    "ReadyDefinition",
    "SalinityChange",
    "System",
    "Timing",
    "WaterChange",
    "answer",
    "forecast_case",
    "forecast_cases",
    "read_case",
    "weigh_departures",
    "write_case",
]
