"""How the figures of alarm rules are called, and the widest they may be. Pure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import isfinite
from typing import Any, Final

from tanks.rules.values import CANONICAL_UNITS

# Stands for the unit of the rule's own parameter.
_OWN: Final = "own"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure by its words and unit; an empty unit is a count, a share or pH."""

    name: str
    label: str
    unit: str
    low: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfit:
    """A figure that a rule cannot have, and what to change."""

    name: str
    sentence: str


# The widest values: what makes sense at all, not advice.
_FIGURES: Final[dict[str, tuple[str, str, str, str]]] = {
    "low": ("Not below", _OWN, "0", "1000"),
    "high": ("Not above", _OWN, "0", "1000"),
    "readings": ("Readings in a row", "", "1", "20"),
    "minutes": ("Or one reading standing for", "min", "0", "10080"),
    "up_to_level": ("Limits up to level", "", "1", "3"),
    "dead_band": ("Back only when inside by", _OWN, "0", "10"),
    "dead_band_share": ("Back only when inside by this part of the limit", "", "0", "0.9"),
    "rise": ("Rise of at least", _OWN, "0.01", "100"),
    "fall": ("Fall of at least", _OWN, "0.01", "100"),
    "fall_share": ("Fall of at least this part", "", "0.01", "1"),
    "per_hour": ("Faster, in an hour, than", _OWN, "0.05", "20"),
    "hours": ("Within", "h", "1", "1440"),
    "with_above": ("Present means above", "mg/L as N", "0", "10"),
    "with_hours": ("Read within the last", "h", "1", "720"),
    "explained_hours": ("What was logged explains it for", "h", "0", "336"),
    "days": ("Days looked back", "d", "1", "30"),
    "fresh_hours": ("Latest reading no older than", "h", "1", "336"),
    "by": ("Apart by more than", _OWN, "0.01", "50"),
    "above": ("Detected means above", _OWN, "0", "10"),
    "act_now_ph": ("Act now if pH is above", "", "5", "14"),
    "act_now_free": ("Act now if un-ionised ammonia is above", "mg/L as N", "0.001", "10"),
    "times": ("Times the usual gain", "", "1.1", "20"),
    "least": ("And at least, in a day", _OWN, "0", "100"),
    "share": ("After this part of the interval", "", "0", "5"),
    "today_share": ("A matter of today after this part", "", "0", "10"),
    "digits": ("Figures that tell something", "", "1", "6"),
    "lasting_hours": ("Over at least", "h", "0", "720"),
    "after_minutes": ("Once it has lasted for", "min", "0", "1440"),
    "act_now_after_hours": ("Act now when later than", "h", "0", "720"),
}


def figures_of(figures: Mapping[str, Any], *, parameter: str) -> Iterator[Figure]:
    """Yield those of a rule that are numbers, in the house's order."""
    for name, (label, unit, low, high) in _FIGURES.items():
        if is_number(figures.get(name)):
            own = CANONICAL_UNITS.get(parameter, "mg/L as N").replace("pH", "")
            sign = own if unit == _OWN else unit
            yield Figure(name=name, label=label, unit=sign, low=Decimal(low), high=Decimal(high))


def is_number(value: object) -> bool:
    """True is no number here, though Python counts it as one; nor is what JSON cannot keep."""
    return isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value)


def unfit(
    figures: Mapping[str, Any], given: Mapping[str, Any], *, parameter: str
) -> Iterator[Unfit]:
    """Yield what of ``given`` a rule with these ``figures`` does not know, or is off its scale."""
    known = {figure.name: figure for figure in figures_of(figures, parameter=parameter)}
    for name in sorted(given.keys() - known.keys()):
        offered = ", ".join(known)
        yield Unfit(name="figures", sentence=f"This rule has no figure {name}; it has {offered}.")
    for name, figure in known.items():
        value = given.get(name, figures[name])
        if not is_number(value) or not figure.low <= Decimal(str(value)) <= figure.high:
            span = f"{figure.low} to {figure.high} {figure.unit}".strip()
            yield Unfit(name=name, sentence=f"{figure.label}: give {span}.")
