"""What a duty in a house of tanks may ask for as its proof, in the words of its sheet. Pure."""

from typing import Any, Final

_READ: Final = "tanks.log-readings"
_PARAMETERS: Final = {
    "TAN": "TAN read",
    "NITRITE": "nitrite read",
    "NITRATE": "nitrate read",
    "PH": "pH read",
    "ALKALINITY": "alkalinity read",
    "TEMPERATURE": "temperature read",
    "SALINITY": "salinity read",
    "OXYGEN": "oxygen read",
    "CHLORINE": "total chlorine read",
}
_DEEDS: Final = {
    "tanks.log-feeding": "feed given",
    "tanks.log-dose": "dose given",
    "tanks.log-water-change": "water changed",
    "tanks.log-walk": "walk entered",
}

PROOFS: Final[dict[str, tuple[str, dict[str, Any]]]] = {
    f"tanks.{name.lower()}": (label, {"deeds": [_READ], "parameters": [name]})
    for name, label in _PARAMETERS.items()
} | {name: (label, {"deeds": [name]}) for name, label in _DEEDS.items()}
