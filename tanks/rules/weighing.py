"""A dose put into words: how it was computed, what to measure out, what that gives. Pure.

Every number is written as it is used, so that a second person can follow it on paper.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from chemistry.dechlorination import tan_freed_mg_l_n
from facility.rules.wording import unit_and_basis, written
from tanks.rules.dosing import Amount, Contents, canonical_rise, implied

_FORMULA: Final = {
    "AMMONIUM_CHLORIDE": "NH₄Cl",
    "SODIUM_BICARBONATE": "NaHCO₃",
    "SODIUM_CARBONATE": "Na₂CO₃",
    "SODIUM_THIOSULFATE": "Na₂S₂O₃·5H₂O",
    "SEA_SALT": "dry sea salt",
}
_SIGNS: Final = {"mg/L as Cl2": "mg/L as Cl₂"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """One dose as asked for: ``target`` in ``unit`` for ``litres`` of water."""

    purpose: str
    target: float
    unit: str
    litres: float
    contents: Contents
    amount: Amount

    @property
    def to_measure(self) -> str:
        return f"{written(self.amount.rounded)} {self.amount.unit}"

    def gives(self, measured: Decimal | float) -> str:
        """Return what so much of the product gives, in the target's unit."""
        given = implied(measured=float(measured), exact=self.amount.exact, target=self.target)
        return f"{written(given)} {sign_of(self.unit)}"

    def lines(self) -> Iterator[tuple[str, str]]:
        """Yield the working, one step a line."""
        pure = _FORMULA[self.contents.substance]
        grams = f"{written(self.amount.substance_g)} g {pure}"
        yield f"{written(self.target)} {sign_of(self.unit)} in {written(self.litres)} L", grams
        yield from self._product()
        yield "Rounded to what can be measured", f"{self.to_measure}, gives {self._rounded_gives()}"

    def notes(self) -> Iterator[str]:
        if self.amount.is_coarse:
            yield (
                "Rounding alone makes this dose wrong by more than 5 %: "
                "use a weaker stock solution."
            )
        yield from _NOTES.get(self.contents.substance, ())
        if self.purpose == "DECHLORINATE":
            rise = canonical_rise(purpose=self.purpose, target=self.target, unit=self.unit)
            freed = tan_freed_mg_l_n(chloramine_mg_l_cl2=rise)
            yield (
                f"If the chlorine is chloramine, about {written(freed)} mg/L-N of ammonia is left: "
                "read TAN too."
            )

    def _product(self) -> Iterator[tuple[str, str]]:
        exact = f"{written(self.amount.exact)} {self.amount.unit}"
        strength = self.contents.strength
        if self.contents.unit == "mL":
            yield f"At {written(strength)} g/L", exact
        elif strength < 1:
            yield f"At {written(strength * 100)} % purity", exact

    def _rounded_gives(self) -> str:
        return self.gives(self.amount.rounded)


def sign_of(unit: str) -> str:
    return _SIGNS.get(unit, unit_and_basis(unit))


_AMMONIA: Final = (
    "Read TAN 30 to 60 minutes later: it proves the volume and the dose (common practice, no "
    "source). Keep it away from bleach and from lye."
)
_SEVEN_TO_ONE: Final = (
    "7.0 mg of the pentahydrate for each mg of chlorine, as laboratories dose it. Read total "
    "chlorine again: the dose itself proves nothing."
)
_NOTES: Final[dict[str, tuple[str, ...]]] = {
    "AMMONIUM_CHLORIDE": (_AMMONIA,),
    "SODIUM_BICARBONATE": (
        "Bicarbonate raises alkalinity; pH follows only as carbon dioxide leaves the water.",
    ),
    "SODIUM_CARBONATE": (
        "Carbonate raises pH at once, by about 0.3 for 0.5 meq/L in sea water: add it in steps.",
    ),
    "SODIUM_THIOSULFATE": (
        _SEVEN_TO_ONE,
        "Sources differ: dose the new water if it stands in a vat, all of it once it is in.",
    ),
    "SEA_SALT": (
        "Salt mixes hold water: dissolve it in a vat, add it, mix, read salinity and trim.",
    ),
}
