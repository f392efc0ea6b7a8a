"""What a calculation is made of: what it asks, what it answers, on whose authority."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final, Literal, TypeAlias

from chemistry.domain import Range

# What `solve` receives for one ask: canonical number, chosen option, or a list of numbers.
Value: TypeAlias = float | str | tuple[float, ...]
Mark: TypeAlias = Literal["found", "computed", "memory", "common practice"]
Fills: TypeAlias = Literal[
    "",
    "volume",
    "tan",
    "nitrite",
    "nitrate",
    "ph",
    "alkalinity",
    "temperature",
    "salinity",
    "oxygen",
]

_WORDS_FOR_UNITS: Final = {"degC": "°C", "degF": "°F", "gal_us": "US gal", "gal_imp": "imp gal"}


class Subject(StrEnum):
    AMMONIA = "ammonia"
    NITROGEN = "nitrogen"
    SALINITY = "salinity"
    OXYGEN = "oxygen"
    ALKALINITY = "alkalinity"
    DISINFECTION = "disinfection"
    DOSING = "dosing"
    WATER_CHANGES = "water changes"
    FEEDING = "feeding"
    PH_METER = "pH meter"
    QUALITY = "quality"
    VOLUME = "volume"
    TREATMENT = "treatment"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where a formula was read, and how it was checked."""

    text: str
    mark: Mark


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """The usual standard uncertainty of a measurement: absolute in the canonical unit, or a share.

    Both may be set; they add in quadrature.
    """

    absolute: float = 0.0
    relative: float = 0.0
    source: str = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trap:
    """Bare numbers that are almost surely another quantity, and what to say of them."""

    low: float
    high: float
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """A quantity somebody measures.

    ``unit`` is canonical, as ``chemistry.units`` reads it; "" for a number without one.
    ``needs_unit`` refuses a bare number. ``optional`` leaves the keyword out of ``solve``.
    """

    name: str
    label: str
    unit: str
    accepted: Range
    example: str
    units: tuple[str, ...] = ()
    needs_unit: bool = False
    whole: bool = False
    optional: bool = False
    doubt: Doubt | None = None
    trap: Trap | None = None
    default: str = ""
    fills_from: Fills = ""
    hint: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """Several readings of one quantity, in the order they were taken.

    Typed with blanks or semicolons between, a unit once at the end: "0.11 0.09 0.10 mg/L".
    """

    name: str
    label: str
    unit: str
    accepted: Range
    example: str
    fewest: int
    most: int = 500
    units: tuple[str, ...] = ()
    needs_unit: bool = False
    optional: bool = False
    default: str = ""
    hint: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    value: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A closed list; no default where the answer must be asked, such as a pH scale."""

    name: str
    label: str
    options: tuple[Option, ...]
    example: str
    default: str = ""
    hint: str = ""


Ask: TypeAlias = Input | Series | Choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """One number of the answer; ``figures`` is for display only."""

    name: str
    label: str
    unit: str
    figures: int = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """Values by output name in the outputs' units, and the arithmetic line by line."""

    values: Mapping[str, float]
    working: tuple[str, ...]
    notes: tuple[str, ...] = ()
    method: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dosed:
    """How a result becomes a dose: which output is the amount, which reading it moves by what."""

    substance: str
    amount: str
    raises: str = ""
    rise: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Calculation:
    """One entry of the catalogue.

    ``solve`` takes keywords named as ``asks`` and may refuse with ``OutOfRange`` or
    ``Unsolved``. ``arguments`` maps a formula's argument to the ask it came from, where
    the ask is not simply the argument without its unit.
    """

    name: str
    question: str
    subject: Subject
    asks: tuple[Ask, ...]
    outputs: tuple[Output, ...]
    formula: str
    sources: tuple[Source, ...]
    solve: Callable[..., Worked]
    cautions: tuple[str, ...] = ()
    doses: Dosed | None = None
    arguments: Mapping[str, str] = field(default_factory=dict)


class Unsolved(ValueError):  # noqa: N818 - the house names refusals by what is so
    """The numbers are each in range but together have no answer; ``field`` is the ask to mend."""

    def __init__(self, sentence: str, *, field: str) -> None:
        self.field = field
        super().__init__(sentence)


def offered(ask: Input | Series) -> tuple[str, ...]:
    """Return the units a form offers, canonical first; empty for a number without a unit."""
    return ask.units or ((ask.unit,) if ask.unit else ())


def unit_words(unit: str) -> str:
    """Return the unit as people read it; ``degC`` is °C."""
    return _WORDS_FOR_UNITS.get(unit, unit)


def options_from(values: type[StrEnum], **labels: str) -> tuple[Option, ...]:
    """Return one option for each member, labelled by member name or else by its value."""
    return tuple(
        Option(value=member.value, label=labels.get(member.name, member.value)) for member in values
    )
