"""pH electrodes, their buffers, and the scales that pH is written on."""

from dataclasses import replace
from typing import Final

from chemistry.buffers import Buffer, buffer_ph
from chemistry.calculator.inputs import PH, PH_SCALE, SALINITY, TEMPERATURE
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Input,
    Output,
    Source,
    Subject,
    Unsolved,
    Worked,
    options_from,
)
from chemistry.domain import Range
from chemistry.electrode import (
    BUFFER_GAP,
    MILLIVOLTS,
    Calibration,
    calibrated,
    faults,
    nernst_slope_mv,
    ph_from_mv,
)
from chemistry.ph_scales import SALINITY as NBS_SALINITY
from chemistry.ph_scales import PhScale, from_total, to_total

_BUFFER_TEMPERATURE: Final = replace(
    TEMPERATURE,
    name="buffer_temperature",
    label="Temperature of the buffers",
    accepted=Range(name="temperature", unit="°C", low=0.0, high=40.0),
    fills_from="",
    example="20 degC",
)
_WATER: Final = Range(name="temperature", unit="°C", low=0.0, high=50.0)
_TABLES: Final = Source(text="JIS Z 8802 and an instrument manual's table of buffers", mark="found")
_NERNST: Final = Source(text="SI 2019 constants R and F", mark="computed")
_BOTTLE: Final = "The table on the bottle goes before this one; makers differ by 0.02."


def _buffer_choice(name: str, label: str, example: Buffer) -> Choice:
    return Choice(name=name, label=label, options=options_from(Buffer), example=example.value)


def _millivolts(name: str, label: str, example: str) -> Input:
    return Input(
        name=name, label=label, unit="mV", units=("mV",), accepted=MILLIVOLTS, example=example
    )


_FIRST: Final = _buffer_choice("first", "First buffer", Buffer.TECHNICAL_7)
_FIRST_MV: Final = _millivolts("first_mv", "Reading in it", "-4 mV")
_SECOND: Final = _buffer_choice("second", "Second buffer", Buffer.PHTHALATE)
_SECOND_MV: Final = _millivolts("second_mv", "Reading in it", "166 mV")
_PAIR: Final = (_FIRST, _FIRST_MV, _SECOND, _SECOND_MV, _BUFFER_TEMPERATURE)
_ARGUMENTS: Final = {"temperature_c": "buffer_temperature"}


def _buffer(*, buffer: str, buffer_temperature: float) -> Worked:
    ph = buffer_ph(Buffer(buffer), temperature_c=buffer_temperature)
    return Worked(
        values={"ph": ph},
        working=(f"{buffer} at {buffer_temperature:.4g} °C, between the printed values: {ph:.3f}",),
        method="linear between printed temperatures",
    )


BUFFER_PH: Final = Calculation(
    name="buffer-ph",
    question="Which pH has this buffer at this temperature?",
    subject=Subject.PH_METER,
    asks=(_buffer_choice("buffer", "Buffer", Buffer.TECHNICAL_7), _BUFFER_TEMPERATURE),
    outputs=(Output(name="ph", label="pH of the buffer", unit="", figures=3),),
    formula="read between the printed temperatures on a straight line",
    sources=(_TABLES,),
    cautions=(_BOTTLE, "A bottle marked 7 may be 7.00 or 6.86 at 25 °C: read its label."),
    solve=_buffer,
    arguments=_ARGUMENTS,
)


def _line(
    first: str, first_mv: float, second: str, second_mv: float, temperature_c: float
) -> tuple[Calibration, float, float]:
    """Return the line through two buffers, and the buffers' pH."""
    first_ph = buffer_ph(Buffer(first), temperature_c=temperature_c)
    second_ph = buffer_ph(Buffer(second), temperature_c=temperature_c)
    if abs(second_ph - first_ph) < BUFFER_GAP.low:
        raise Unsolved(
            "The two buffers must be at least 1 pH apart; choose another second buffer.",
            field="second",
        )
    line = calibrated(
        first_ph=first_ph,
        first_mv=first_mv,
        second_ph=second_ph,
        second_mv=second_mv,
        temperature_c=temperature_c,
    )
    return line, first_ph, second_ph


def _slope(
    *, first: str, first_mv: float, second: str, second_mv: float, buffer_temperature: float
) -> Worked:
    line, first_ph, second_ph = _line(first, first_mv, second, second_mv, buffer_temperature)
    ideal = nernst_slope_mv(temperature_c=buffer_temperature)
    measured = line.slope_share * ideal
    return Worked(
        values={
            "slope": 100 * line.slope_share,
            "slope_mv": measured,
            "ideal": ideal,
            "offset": line.offset_mv,
        },
        working=(
            f"buffers at {buffer_temperature:.4g} °C: pH {first_ph:.3f} and {second_ph:.3f}",
            (
                f"slope = ({first_mv:g} − {second_mv:g}) / ({second_ph:.3f} − {first_ph:.3f}) = "
                f"{measured:.4g} mV per pH"
            ),
            f"ideal ln10 R T / F = {ideal:.4g} mV per pH; share {100 * line.slope_share:.3g} %",
            (
                f"offset at pH 7 = {first_mv:g} + {measured:.4g} × ({first_ph:.3f} − 7) = "
                f"{line.offset_mv:.3g} mV"
            ),
        ),
        notes=faults(line) or ("Slope and offset are inside the usual windows (from memory).",),
    )


ELECTRODE_SLOPE: Final = Calculation(
    name="electrode-slope",
    question="Is the pH electrode still good?",
    subject=Subject.PH_METER,
    asks=_PAIR,
    outputs=(
        Output(name="slope", label="Slope, of the ideal", unit="%"),
        Output(name="slope_mv", label="Slope measured, mV per pH", unit="mV"),
        Output(name="ideal", label="Slope ideal, mV per pH", unit="mV", figures=4),
        Output(name="offset", label="Offset at pH 7", unit="mV"),
    ),
    formula="slope = (mV1 − mV2) / (pH2 − pH1); ideal = ln10 × R × T / F",
    sources=(
        _NERNST,
        _TABLES,
        Source(text="Windows 92 to 105 % and ±30 mV", mark="memory"),
    ),
    cautions=(_BOTTLE, "Afterwards a third buffer should read within 0.1 pH."),
    solve=_slope,
    arguments=_ARGUMENTS,
)


def _measured(
    *,
    first: str,
    first_mv: float,
    second: str,
    second_mv: float,
    buffer_temperature: float,
    reading: float,
    temperature: float,
) -> Worked:
    line, _, _ = _line(first, first_mv, second, second_mv, buffer_temperature)
    ph = ph_from_mv(reading_mv=reading, calibration=line, temperature_c=temperature)
    slope = line.slope_share * nernst_slope_mv(temperature_c=temperature)
    return Worked(
        values={"ph": ph},
        working=(
            (
                f"slope at {temperature:.4g} °C: {100 * line.slope_share:.3g} % of ideal = "
                f"{slope:.4g} mV per pH"
            ),
            f"pH = 7 − ({reading:g} − {line.offset_mv:.3g}) / {slope:.4g} = {ph:.3f}",
        ),
        notes=faults(line),
    )


PH_FROM_MILLIVOLTS: Final = Calculation(
    name="ph-from-millivolts",
    question="Which pH do these millivolts mean?",
    subject=Subject.PH_METER,
    asks=(
        *_PAIR,
        _millivolts("reading", "Reading in the water", "-60 mV"),
        replace(TEMPERATURE, accepted=_WATER),
    ),
    outputs=(Output(name="ph", label="pH of the water", unit="", figures=3),),
    formula="pH = 7 − (mV − offset) / (slope share × ln10 × R × T / F)",
    sources=(_NERNST, _TABLES),
    cautions=("Only the electrode is corrected for temperature; the water's own pH moves too.",),
    solve=_measured,
    arguments=_ARGUMENTS,
)


def _scales(*, ph: float, scale: str, temperature: float, salinity: float) -> Worked:
    total = to_total(ph, scale=PhScale(scale), temperature_c=temperature, salinity_g_kg=salinity)
    values = {
        _KEYS[one]: from_total(total, scale=one, temperature_c=temperature, salinity_g_kg=salinity)
        for one in PhScale
    }
    return Worked(
        values=values,
        working=tuple(
            f"{one.value} stands {values[_KEYS[one]] - total:+.4f} from total"
            for one in PhScale
            if one is not PhScale.TOTAL
        ),
        notes=("A real electrode's liquid junction adds 0.02 to 0.05 pH of its own (memory).",),
    )


_KEYS: Final = {
    PhScale.NBS: "nbs",
    PhScale.TOTAL: "total",
    PhScale.SEAWATER: "seawater",
    PhScale.FREE: "free",
}

PH_SCALES: Final = Calculation(
    name="ph-scales",
    question="What is this sea-water pH on another scale?",
    subject=Subject.PH_METER,
    asks=(
        PH,
        PH_SCALE,
        replace(TEMPERATURE, accepted=Range(name="temperature", unit="°C", low=0.0, high=40.0)),
        replace(SALINITY, accepted=NBS_SALINITY),
    ),
    outputs=(
        Output(name="nbs", label="on NBS", unit=""),
        Output(name="total", label="on total", unit=""),
        Output(name="seawater", label="on the sea-water scale", unit=""),
        Output(name="free", label="on the free scale", unit=""),
    ),
    formula=(
        "free → total: + bisulfate; total → sea water: + hydrogen fluoride\n"
        "sea water → NBS: electrode factor fH of Takahashi et al. 1982"
    ),
    sources=(
        Source(text="Dickson 1990; Dickson & Riley 1979; Takahashi et al. 1982", mark="computed"),
    ),
    cautions=("Mixing up NBS and total makes free ammonia in sea water wrong by 35 %.",),
    solve=_scales,
)

CALCULATIONS: Final = (ELECTRODE_SLOPE, BUFFER_PH, PH_FROM_MILLIVOLTS, PH_SCALES)
