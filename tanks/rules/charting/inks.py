"""What a chart is drawn with: the colours of the house, for light, dark and paper."""

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

Theme: TypeAlias = Literal["light", "dark"]

LETTERS: Final = "Liberation Sans, Arial, Helvetica, sans-serif"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """``series`` colours the parameters; each also has its own panel and its own mark."""

    paper: str
    ink: str
    soft: str
    line: str
    brass: str
    series: dict[str, str]


LIGHT: Final = Ink(
    paper="#fbfcf9",
    ink="#15201e",
    soft="#485651",
    line="#c5ccc6",
    brass="#85500f",
    series={
        "TAN": "#85500f",
        "NITRITE": "#0a5360",
        "NITRATE": "#17603e",
        "PH": "#485651",
        "ALKALINITY": "#66756f",
    },
)
DARK: Final = Ink(
    paper="#161e1c",
    ink="#dde5e1",
    soft="#a5b4ae",
    line="#33403c",
    brass="#d9a767",
    series={
        "TAN": "#d9a767",
        "NITRITE": "#7ccbd0",
        "NITRATE": "#83d1a3",
        "PH": "#a5b4ae",
        "ALKALINITY": "#81948e",
    },
)
INKS: Final[dict[Theme, Ink]] = {"light": LIGHT, "dark": DARK}
