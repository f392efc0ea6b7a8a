"""Quantities that several calculations ask; vary one with ``dataclasses.replace``.

The doubts are what a careful person with a kit or a calibrated probe reaches.
"""

from typing import Final

from chemistry.calculator.terms import Choice, Doubt, Input, Option, Trap
from chemistry.domain import CONCENTRATION, LITRES, SHARE_ABOVE_ZERO, Range
from chemistry.ph_scales import PhScale

# What a tank or a kit can show; a formula's own, narrower range still decides.
PH_RANGE: Final = Range(name="pH", unit="", low=4.0, high=11.0)
SALINITY_RANGE: Final = Range(name="salinity", unit="g/kg", low=0.0, high=40.0)
ALKALINITY_RANGE: Final = Range(name="alkalinity", unit="meq/L", low=0.0, high=50.0)
WATER_TEMPERATURE: Final = Range(name="temperature", unit="°C", low=-2.0, high=50.0)
OXYGEN_RANGE: Final = Range(name="dissolved oxygen", unit="mg/L", low=0.0, high=60.0)

AMMONIA_UNITS: Final = ("mg/L as N", "mg/L as NH3", "mg/L as NH4")
NITRITE_UNITS: Final = ("mg/L as N", "mg/L as NO2")
NITRATE_UNITS: Final = ("mg/L as N", "mg/L as NO3")
ALKALINITY_UNITS: Final = ("meq/L", "dKH", "mg/L CaCO3")
VOLUME_UNITS: Final = ("L", "gal_us", "gal_imp", "m3", "ft3", "mL")
TEMPERATURE_UNITS: Final = ("degC", "degF")
WEIGHT_UNITS: Final = ("g", "kg", "mg", "lb")

_SCALES: Final = {
    "NBS": "NBS: a meter on ordinary buffers, or a colour kit",
    "total": "total: a meter on sea-water buffers, or a dye read in a photometer",
    "sea-water": "sea water: total, with fluoride counted",
    "free": "free: free hydrogen ions only",
}

TAN: Final = Input(
    name="tan",
    label="Total ammonia",
    unit="mg/L as N",
    units=AMMONIA_UNITS,
    accepted=CONCENTRATION,
    needs_unit=True,
    doubt=Doubt(relative=0.10),
    fills_from="tan",
    example="1.0 mg/L as N",
    hint="The kit's leaflet says of what: nitrogen, NH3 or NH4.",
)
NITRITE: Final = Input(
    name="nitrite",
    label="Nitrite",
    unit="mg/L as N",
    units=NITRITE_UNITS,
    accepted=CONCENTRATION,
    needs_unit=True,
    doubt=Doubt(relative=0.10),
    fills_from="nitrite",
    example="0.5 mg/L as N",
)
NITRATE: Final = Input(
    name="nitrate",
    label="Nitrate",
    unit="mg/L as N",
    units=NITRATE_UNITS,
    accepted=CONCENTRATION,
    needs_unit=True,
    doubt=Doubt(relative=0.15),
    fills_from="nitrate",
    example="40 mg/L as NO3",
)
PH: Final = Input(
    name="ph",
    label="pH",
    unit="",
    accepted=PH_RANGE,
    doubt=Doubt(absolute=0.1),
    fills_from="ph",
    example="8.0",
)
PH_SCALE: Final = Choice(
    name="scale",
    label="pH scale",
    options=tuple(Option(value=scale.value, label=_SCALES[scale.value]) for scale in PhScale),
    example="NBS",
    hint="In sea water the same acidity reads about 0.14 higher on NBS than on total.",
)
TEMPERATURE: Final = Input(
    name="temperature",
    label="Temperature",
    unit="degC",
    units=TEMPERATURE_UNITS,
    accepted=WATER_TEMPERATURE,
    doubt=Doubt(absolute=0.5),
    fills_from="temperature",
    example="25 degC",
)
SALINITY: Final = Input(
    name="salinity",
    label="Salinity",
    unit="g/kg",
    units=("g/kg", "ppt"),
    accepted=SALINITY_RANGE,
    doubt=Doubt(absolute=0.5),
    trap=Trap(
        low=1.0,
        high=1.06,
        sentence="looks like a specific gravity: turn it into salinity first, or write its unit",
    ),
    fills_from="salinity",
    example="35",
)
ALKALINITY: Final = Input(
    name="alkalinity",
    label="Alkalinity",
    unit="meq/L",
    units=ALKALINITY_UNITS,
    accepted=ALKALINITY_RANGE,
    needs_unit=True,
    doubt=Doubt(absolute=0.1),
    fills_from="alkalinity",
    example="2.5 meq/L",
)
OXYGEN: Final = Input(
    name="oxygen",
    label="Dissolved oxygen",
    unit="mg/L",
    units=("mg/L",),
    accepted=OXYGEN_RANGE,
    doubt=Doubt(absolute=0.2),
    fills_from="oxygen",
    example="7.5 mg/L",
)
VOLUME: Final = Input(
    name="volume",
    label="Water volume",
    unit="L",
    units=VOLUME_UNITS,
    accepted=LITRES,
    doubt=Doubt(relative=0.05),
    fills_from="volume",
    example="100 gal_us",
    hint="The net volume: what the tank and its pipework really hold.",
)
PURITY: Final = Input(
    name="purity",
    label="Purity (1 is pure)",
    unit="",
    units=("", "%"),
    accepted=SHARE_ABOVE_ZERO,
    default="1",
    example="0.99",
)
