"""Oxygen in balance with the air, and a reading held against it."""

from typing import Final

from chemistry.calculator.inputs import OXYGEN, SALINITY, TEMPERATURE
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Input,
    Option,
    Output,
    Source,
    Subject,
    Worked,
    options_from,
)
from chemistry.domain import Range
from chemistry.oxygen import (
    ALTITUDE,
    pressure_at_altitude_atm,
    saturation_mg_l,
    umol_l_from_mg_l,
)
from chemistry.oxygen_criteria import EPA_1986, Fauna
from chemistry.salinity import density_kg_l

_HPA_PER_ATM: Final = 1013.25
_PRESSURE: Final = Range(name="air pressure", unit="hPa", low=510.0, high=1110.0)

_ALTITUDE: Final = Input(
    name="altitude",
    label="Altitude",
    unit="m",
    units=("m", "ft"),
    accepted=ALTITUDE,
    default="0 m",
    example="250 m",
    hint="Left aside when a barometer's pressure is given.",
)
_BAROMETER: Final = Input(
    name="pressure",
    label="Air pressure at the place",
    unit="hPa",
    units=("hPa", "kPa", "mmHg", "inHg", "atm"),
    accepted=_PRESSURE,
    needs_unit=True,
    optional=True,
    example="1005 hPa",
    hint="As the barometer shows it there, not reduced to sea level as weather reports are.",
)
_SOURCES: Final = (
    Source(text="Benson & Krause 1984, Limnol. Oceanogr. 29:620", mark="computed"),
    Source(text="Printed values at 0 to 40 °C, Standard Methods 4500-O", mark="found"),
    Source(text="ICAO standard atmosphere and vapour pressure: constants", mark="memory"),
)


def _pressure_atm(altitude: float, pressure: float | None) -> float:
    if pressure is not None:
        return pressure / _HPA_PER_ATM
    return pressure_at_altitude_atm(altitude_m=altitude)


def _saturation(
    *, temperature: float, salinity: float, altitude: float, pressure: float | None = None
) -> Worked:
    station_atm = _pressure_atm(altitude, pressure)
    at_sea = saturation_mg_l(temperature_c=temperature, salinity_g_kg=salinity)
    full = saturation_mg_l(
        temperature_c=temperature, salinity_g_kg=salinity, pressure_atm=station_atm
    )
    density = float(density_kg_l(salinity_g_kg=salinity, temperature_c=temperature))
    return Worked(
        values={
            "saturation": full,
            "molal": umol_l_from_mg_l(oxygen_mg_l=full) / density,
            "pressure_there": station_atm * _HPA_PER_ATM,
        },
        working=(
            f"at 1 atm, {temperature:.4g} °C and {salinity:.4g} g/kg: {at_sea:.4g} mg/L",
            f"air pressure: {station_atm * _HPA_PER_ATM:.4g} hPa = {station_atm:.4g} atm",
            f"in moist air there: {at_sea:.4g} × {full / at_sea:.4f} = {full:.4g} mg/L",
        ),
        method="Benson & Krause 1984",
    )


SATURATION: Final = Calculation(
    name="oxygen-saturation",
    question="How much oxygen does the water hold in balance with the air?",
    subject=Subject.OXYGEN,
    asks=(TEMPERATURE, SALINITY, _ALTITUDE, _BAROMETER),
    outputs=(
        Output(name="saturation", label="Oxygen at saturation", unit="mg/L"),
        Output(name="molal", label="the same in moles", unit="µmol/kg"),
        Output(name="pressure_there", label="Air pressure taken", unit="hPa", figures=4),
    ),
    formula=(
        "ln C = −139.34411 + 1.575701e5/T − 6.642308e7/T² + 1.243800e10/T³ − 8.621949e11/T⁴\n"
        "       − S (0.017674 − 10.754/T + 2140.7/T²)\n"
        "C(P) = C × (P − Pw)(1 − θP) / ((1 − Pw)(1 − θ)), P in atm, Pw of water vapour"
    ),
    sources=_SOURCES,
    cautions=(
        "Older tables print 10.2 and 9.2 mg/L for 15 and 20 °C where this has 10.1 and 9.1.",
    ),
    solve=_saturation,
)

_ONE: Final = "none"
_FAUNA: Final = Choice(
    name="fauna",
    label="Hold it against the US EPA 1986 limits for",
    options=(Option(value=_ONE, label="none"), *options_from(Fauna)),
    default=_ONE,
    example=Fauna.WARM_OTHER.value,
    hint="Fresh water only.",
)


def _reading(
    *,
    oxygen: float,
    temperature: float,
    salinity: float,
    altitude: float,
    fauna: str,
    pressure: float | None = None,
) -> Worked:
    full = saturation_mg_l(
        temperature_c=temperature,
        salinity_g_kg=salinity,
        pressure_atm=_pressure_atm(altitude, pressure),
    )
    return Worked(
        values={
            "percent": 100 * oxygen / full,
            "missing": full - oxygen,
            "saturation": full,
        },
        working=(
            f"saturation there: {full:.4g} mg/L",
            f"{oxygen:.4g} / {full:.4g} = {100 * oxygen / full:.3g} %",
        ),
        notes=_against(oxygen, fauna),
        method="Benson & Krause 1984",
    )


def _against(oxygen: float, fauna: str) -> tuple[str, ...]:
    if fauna == _ONE:
        return ()
    limit = EPA_1986[Fauna(fauna)]
    averages = (
        ("30-day mean", limit.mean_30_days_mg_l),
        ("7-day mean", limit.mean_7_days_mg_l),
        ("7-day mean of the minima", limit.mean_minimum_7_days_mg_l),
    )
    kept = ", ".join(f"{name} {least:g}" for name, least in averages if least is not None)
    is_under = oxygen < limit.minimum_1_day_mg_l
    return (
        (
            f"{oxygen:.3g} mg/L is {'under' if is_under else 'not under'} the 1-day minimum of "
            f"{limit.minimum_1_day_mg_l:g} mg/L; averages to keep: {kept} mg/L."
        ),
    )


READING: Final = Calculation(
    name="oxygen-percent",
    question="What share of saturation is this oxygen reading?",
    subject=Subject.OXYGEN,
    asks=(OXYGEN, TEMPERATURE, SALINITY, _ALTITUDE, _FAUNA, _BAROMETER),
    outputs=(
        Output(name="percent", label="Share of saturation", unit="%"),
        Output(name="missing", label="Missing to saturation", unit="mg/L"),
        Output(name="saturation", label="Oxygen at saturation", unit="mg/L"),
    ),
    formula="share = reading / saturation at the same temperature, salinity and air pressure",
    sources=(
        *_SOURCES,
        Source(text="US EPA 1986, in the agency's table of criteria", mark="found"),
    ),
    cautions=(
        (
            "Above 100 % by more than a few per cent: look for bubbles drawn in by a pump, which "
            "harms fish as gas supersaturation."
        ),
        "Animals gasping need air at once, whatever a formula says.",
    ),
    solve=_reading,
)

CALCULATIONS: Final = (SATURATION, READING)
