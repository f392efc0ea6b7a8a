"""Life support: what hangs on which water."""

from collections.abc import Iterator
from typing import Final

from deploy.demo_data.acts import Act, Weeks, decimal, ident
from deploy.demo_data.house import TUBS, Tub
from deploy.demo_data.people import MANAGER
from tanks.commands.devices import InstallDevice

_NAMES: Final = {
    "BIOFILTER": "biofilter",
    "MECHANICAL": "drum filter",
    "UV": "ultraviolet unit",
    "SKIMMER": "protein skimmer",
    "OZONE": "ozone generator",
    "CARBON": "carbon chamber",
    "HEATER": "heater",
}
_AREAS_M2: Final = {"S1": 95, "S2": 130, "B1": 40, "B2": 45, "E1": 260, "Q1": 60, "X-01": 120}
_FRESH: Final = ("BIOFILTER", "MECHANICAL", "UV", "HEATER")
_SALT: Final = ("BIOFILTER", "MECHANICAL", "UV", "SKIMMER", "HEATER")
DEVICES: Final[dict[str, tuple[str, ...]]] = {
    "S1": _FRESH,
    "S2": (*_SALT, "CARBON"),
    "B1": ("BIOFILTER", "MECHANICAL", "UV"),
    "B2": ("BIOFILTER", "MECHANICAL", "UV"),
    "E1": (*_SALT, "OZONE"),
    "Q1": _FRESH,
    "X-01": _FRESH,
    "X-02": ("BIOFILTER", "HEATER"),
    "X-03": ("BIOFILTER", "SKIMMER", "HEATER"),
    "X-04": ("BIOFILTER", "UV"),
    "Z-01": ("BIOFILTER", "SKIMMER", "HEATER"),
    "Z-02": ("BIOFILTER", "HEATER"),
    "Z-03": ("BIOFILTER", "HEATER"),
    "Z-04": ("BIOFILTER", "HEATER"),
    **{f"A-{place:02d}": ("BIOFILTER", "HEATER") for place in range(1, 5)},
    **{f"P-{place:02d}": ("BIOFILTER",) for place in range(1, 7)},
}
OFF_WHILE_SEEDING: Final = ("UV", "OZONE", "SKIMMER", "MECHANICAL", "CARBON")


def installed(weeks: Weeks) -> Iterator[Act]:
    for tub in TUBS:
        for kind in DEVICES.get(tub.code, ()):
            yield Act(at=weeks.at(tub.day, "07:55"), by=MANAGER, command=_install(weeks, tub, kind))


def _install(weeks: Weeks, tub: Tub, kind: str) -> InstallDevice:
    area_m2 = _AREAS_M2.get(tub.code, 6) if kind == "BIOFILTER" else None
    return InstallDevice(
        id=ident(f"device:{tub.code}:{kind}"),
        vessel_id=ident(tub.code),
        kind=kind,
        name=f"{tub.code} {_NAMES[kind]}",
        biofilter_area_m2=None if area_m2 is None else decimal(area_m2),
        happened_at=weeks.at(tub.day, "07:52"),
    )
