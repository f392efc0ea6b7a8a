"""The un-ionised part of the ammonia in a water, with how far to trust it. Pure."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from chemistry.ammonia import Unionised, unionised
from chemistry.ammonia_doubt import Sample, Spread, relative_uncertainty
from chemistry.ammonia_doubt import spread as spread_of
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
    """Un-ionised ammonia, mg/L as N; ``below`` (negative) and ``above`` are relative.

    They are one standard uncertainty to either side, uneven because the formula bends.
    ``value`` lies between the readings' own edges; its ``high`` is None when TAN or pH was
    over range.
    """

    value: Interval
    fraction: Interval
    below: float
    above: float
    method: str
    note: str

    @property
    def likely(self) -> Interval:
        """The value with its spread on both sides."""
        high = None if self.value.high is None else self.value.high * (1 + self.above)
        return Interval(max(self.value.low * (1 + self.below), 0.0), high)


def free_ammonia(given: Given) -> FreeAmmonia:
    """Return the un-ionised ammonia.

    Raises:
        CannotCalculate: a reading lies outside what the published formula covers.
    """
    try:
        least, greatest = _corners(given)
        low, high = _share(given, *least), _share(given, *greatest)
    except OutOfRange as error:
        raise CannotCalculate(f"Un-ionised ammonia cannot be calculated. {error}") from error
    open_end = given.tan.high is None or given.ph.high is None
    return FreeAmmonia(
        value=Interval(
            given.tan.low * low.fraction, None if open_end else given.tan.top * high.fraction
        ),
        fraction=Interval(low.fraction, high.fraction),
        below=_spread(given, *least).below,
        above=_spread(given, *greatest).above,
        method=high.method,
        note=high.note,
    )


def _corners(given: Given) -> Iterator[tuple[float, float]]:
    """Yield pH and temperature for the least and for the greatest share."""
    yield given.ph.low, given.temperature.low
    top_c = given.temperature.low if given.temperature.high is None else given.temperature.high
    yield given.ph.low if given.ph.high is None else given.ph.high, top_c


def _share(given: Given, ph: float, temperature_c: float) -> Unionised[float]:
    return unionised(
        ph=ph,
        temperature_c=temperature_c,
        salinity_g_kg=_salinity_g_kg(given),
        ph_scale=_scale(given),
    )


def _salinity_g_kg(given: Given) -> float:
    return 0.0 if given.salinity is None else given.salinity.low


def _scale(given: Given) -> PhScale:
    return PhScale.TOTAL if given.ph_is_total else PhScale.NBS


def _spread(given: Given, ph: float, temperature_c: float) -> Spread:
    sample = Sample(
        ph=ph,
        temperature_c=temperature_c,
        salinity_g_kg=_salinity_g_kg(given),
        ph_scale=_scale(given),
        ph_uncertainty=_PH_BY[given.ph_by],
        temperature_uncertainty_c=_TEMPERATURE_C,
    )
    try:
        return spread_of(sample, tan_relative_uncertainty=_TAN_BY[given.tan_by])
    except OutOfRange:
        # An end of the spread lies beyond the formula: to first order, alike on both sides.
        return _first_order(sample, given, ph, temperature_c)


def _first_order(sample: Sample, given: Given, ph: float, temperature_c: float) -> Spread:
    standard = relative_uncertainty(
        fraction=_share(given, ph, temperature_c).fraction,
        temperature_c=temperature_c,
        ph_uncertainty=sample.ph_uncertainty,
        temperature_uncertainty_c=sample.temperature_uncertainty_c,
        tan_relative_uncertainty=_TAN_BY[given.tan_by],
    )
    return Spread(standard=standard, below=-standard, above=standard)
