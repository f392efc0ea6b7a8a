"""What a water change leaves, and what it takes out that somebody put in. Pure."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from chemistry.alkalinity import sodium_bicarbonate_g
from chemistry.dilution import after_change
from facility.rules.wording import written
from tanks.rules.values import PARAMETERS

UNITS: Final = {
    "TAN": "mg/L-N",
    "NITRATE": "mg/L-N",
    "ALKALINITY": "meq/L",
    "SALINITY": "g/kg",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """One value before and after, in canonical units; ``after`` is None while the source's is."""

    parameter: str
    before: float
    source: float | None
    after: float | None

    @property
    def name(self) -> str:
        return PARAMETERS[self.parameter]

    @property
    def unit(self) -> str:
        return UNITS[self.parameter]


def left(
    before: Mapping[str, float], source: Mapping[str, float | None], *, share: float
) -> Iterator[Left]:
    """Yield what is left of each value that was read, mixed with the source water.

    The mass balance of volumes; salinity is per kilogram, where that is 0.6 g/kg off at most.
    """
    for parameter, level in before.items():
        of_source = source.get(parameter)
        after = None
        if of_source is not None:
            after = after_change(level=level, source_level=of_source, fraction=share)
        yield Left(parameter=parameter, before=level, source=of_source, after=after)


def hints(lefts: Iterable[Left], *, share: float, water_l: float) -> Iterator[str]:
    """Yield what to put back: arithmetic of dilution."""
    part = f"{written(share * 100)} %"
    yield (
        f"Whatever was dosed once and is not in the source water is down by {part}: "
        f"restore {part} of its dose, not all of it."
    )
    for one in lefts:
        if one.parameter == "ALKALINITY" and one.after is not None and one.after < one.before:
            lost = one.before - one.after
            grams = sodium_bicarbonate_g(rise_meq_l=lost, volume_l=water_l)
            yield (
                f"{written(grams)} g of sodium bicarbonate bring alkalinity back to "
                f"{written(one.before)} meq/L."
            )
