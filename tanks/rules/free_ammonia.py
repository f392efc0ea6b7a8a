"""The un-ionised part of the ammonia in a water, with how far to trust it. Pure."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from chemistry.ammonia import Unionised, unionised
from chemistry.ammonia_doubt import relative_uncertainty
from chemistry.domain import OutOfRange
from chemistry.ph_scales import PhScale
from tanks.rules.values import Interval

# How far a method may be out, one standard uncertainty: common practice, no source.
_PH_BY: Final = {"COLOUR_KIT": 0.2, "PHOTOMETER": 0.1, "PROBE": 0.1, "TITRATION": 0.1}
_TAN_BY: Final = {"COLOUR_KIT": 0.2, "PHOTOMETER": 0.1, "PROBE": 0.1, "TITRATION": 0.1}
_TEMPERATURE_C: Final = 0.5


class CannotCalculate(ValueError):  # noqa: N818  the house names refusals by what is so
    """Something it depends on is missing or outside the formula; the sentence says what."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What the calculation rests on; without ``salinity`` the water is taken as fresh."""

    tan: Interval
    tan_by: str
    ph: Interval
    ph_by: str
    ph_is_total: bool
    temperature: Interval
    salinity: Interval | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeAmmonia:
    """Un-ionised ammonia, mg/L as N. ``spread`` is one relative standard uncertainty.

    ``value`` lies between the readings' own edges; its ``high`` is None when TAN or pH was
    over range.
    """

    value: Interval
    fraction: Interval
    spread: float
    method: str
    note: str

    @property
    def likely(self) -> Interval:
        """The value with its spread on both sides."""
        high = None if self.value.high is None else self.value.high * (1 + self.spread)
        return Interval(max(self.value.low * (1 - self.spread), 0.0), high)


def free_ammonia(given: Given) -> FreeAmmonia:
    """Return the un-ionised ammonia.

    Raises:
        CannotCalculate: a reading lies outside what the published formula covers.
    """
    try:
        low, high = (_share(given, ph, t) for ph, t in _corners(given))
    except OutOfRange as error:
        raise CannotCalculate(f"Un-ionised ammonia cannot be calculated. {error}") from error
    open_end = given.tan.high is None or given.ph.high is None
    return FreeAmmonia(
        value=Interval(
            given.tan.low * low.fraction, None if open_end else given.tan.top * high.fraction
        ),
        fraction=Interval(low.fraction, high.fraction),
        spread=_spread(given, high.fraction),
        method=high.method,
        note=high.note,
    )


def _corners(given: Given) -> Iterator[tuple[float, float]]:
    """Yield pH and temperature for the least and for the greatest share."""
    yield given.ph.low, given.temperature.low
    top_c = given.temperature.low if given.temperature.high is None else given.temperature.high
    yield given.ph.low if given.ph.high is None else given.ph.high, top_c


def _share(given: Given, ph: float, temperature_c: float) -> Unionised[float]:
    scale = PhScale.TOTAL if given.ph_is_total else PhScale.NBS
    salinity_g_kg = 0.0 if given.salinity is None else given.salinity.low
    return unionised(
        ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg, ph_scale=scale
    )


def _spread(given: Given, fraction: float) -> float:
    return relative_uncertainty(
        fraction=fraction,
        temperature_c=given.temperature.low,
        ph_uncertainty=_PH_BY[given.ph_by],
        temperature_uncertainty_c=_TEMPERATURE_C,
        tan_relative_uncertainty=_TAN_BY[given.tan_by],
    )
