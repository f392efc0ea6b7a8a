"""How numbers, units, ages and moments are written for people, on screen and on paper."""

from datetime import datetime, timedelta, tzinfo
from decimal import Decimal
from math import floor, isfinite, log10
from typing import Final, TypeAlias

Number: TypeAlias = Decimal | float | int | str | None

_SMALLEST: Final = 1e-6
_FIGURES: Final = 3
_SIGNS: Final = {
    "degC": "°C",
    "degF": "°F",
    "delta_degC": "°C",
    "percent": "%",
    "mg/L CaCO3": "mg/L CaCO₃",
    "pH": "",
}
_BASES: Final = {
    "NH3": "NH₃",
    "NH4": "NH₄",
    "NO2": "NO₂",
    "NO3": "NO₃",
    "CaCO3": "CaCO₃",
    "Cl2": "Cl₂",
}
_SOON: Final = timedelta(minutes=1)
_MINUTES: Final = timedelta(hours=2)
_HOURS: Final = timedelta(hours=48)


def written(value: Number) -> str:
    """Return a number without false decimals.

    Text stands as it was entered (``<0.25``, ``7.00``). A Decimal loses only the noughts its
    column adds. A float was calculated: three figures, and never fewer than its whole units.
    """
    if value is None:
        return "unknown"
    if isinstance(value, str | int):
        return str(value)
    if isinstance(value, Decimal):
        return _plain(f"{value:f}")
    return _calculated(value)


def unit_and_basis(unit: str, basis: str = "") -> str:
    """Return ``mg/L as N`` from ``mg/L`` and ``N``: never a concentration without its basis."""
    sign = _SIGNS.get(unit, unit)
    return f"{sign} as {_BASES.get(basis, basis)}" if basis else sign


def age(at: datetime, *, now: datetime) -> str:
    """Return how long ago, rounded down: ``just now``, ``95 min ago``, ``3 h ago``, ``5 d ago``."""
    if at > now:
        return f"in {_length(at - now)}" if at - now >= _SOON else "now"
    return f"{_length(now - at)} ago" if now - at >= _SOON else "just now"


def day_and_time(at: datetime, *, zone: tzinfo) -> str:
    """Return ``Wed 25 Nov 2026, 12:55`` by the clock on the wall of the site.

    In the hour a clock change repeats, the name of the zone tells the two apart.
    """
    local = at.astimezone(zone)
    text = f"{local:%a} {local.day} {local:%b %Y, %H:%M}"
    return f"{text} {local:%Z}" if _comes_twice(local) else text


def skew(skew_s: float) -> str:
    """How far a clock is ahead of Penstock's, or behind."""
    minutes = round(abs(skew_s) / 60)
    if minutes == 0:
        return "right to the minute"
    return f"{minutes} min {'ahead' if skew_s > 0 else 'behind'}"


def _plain(digits: str) -> str:
    text = digits.rstrip("0").rstrip(".") if "." in digits else digits
    return "0" if text in ("-0", "") else text


def _calculated(value: float) -> str:
    if not isfinite(value):
        return "unknown"
    if value == 0:
        return "0"
    if abs(value) < _SMALLEST:
        return f"below {_SMALLEST:f}" if value > 0 else f"above -{_SMALLEST:f}"
    decimals = max(0, _FIGURES - 1 - floor(log10(abs(value))))
    return _plain(f"{value:.{decimals}f}")


def _length(span: timedelta) -> str:
    if span < _MINUTES:
        return f"{span // timedelta(minutes=1)} min"
    if span < _HOURS:
        return f"{span // timedelta(hours=1)} h"
    return f"{span.days} d"


def _comes_twice(local: datetime) -> bool:
    # A moment turned from UTC stands on some wall, so only a repeated hour depends on fold.
    return local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
