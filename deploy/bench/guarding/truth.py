"""What is truly dangerous, told by what really ends up in the water and by facts.

Nothing here asks the guard, its data or its code: the limits stand here once more, as printed in
21 CFR 529.1030, 529.1150 and 529.382 (2015 and 2023 editions) and, for the rest, as trade practice
has them.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

_SALMON: Final = ("Oncorhynchus", "Salmo", "Salvelinus")
_SOFT: Final = ("MOLLUSC", "CORAL", "OTHER_INVERTEBRATE")
_ALL_INVERTEBRATES: Final = (*_SOFT, "CRUSTACEAN")
# Who dies of what: copper and the others by trade practice and extension texts.
_DIES_OF: Final = {
    "COPPER_FREE": (*_ALL_INVERTEBRATES, "ELASMOBRANCH"),
    "COPPER_BOUND": (*_ALL_INVERTEBRATES, "ELASMOBRANCH"),
    "FORMALIN": _SOFT,
    "HYDROGEN_PEROXIDE": _ALL_INVERTEBRATES,
    "CHLORAMINE_T": _ALL_INVERTEBRATES,
    "CHLOROQUINE": (*_ALL_INVERTEBRATES, "PLANT"),
}
_HARMS_ABOVE: Final = {
    "COPPER_FREE": 0.21,
    "CHLORAMINE_T": 20.5,
    "CHLOROQUINE": 15.8,
    "METHYLENE_BLUE": 3.15,
    "SODIUM_CHLORIDE": 5000.0,
    "PRAZIQUANTEL": 3.0,
}
_LEAST_HOURS: Final = {
    "FORMALIN": 20.0,
    "HYDROGEN_PEROXIDE": 40.0,
    "CHLORAMINE_T": 20.0,
    "PRAZIQUANTEL": 90.0,
}
_MOST_MINUTES: Final = {"FORMALIN": 60, "HYDROGEN_PEROXIDE": 60, "CHLORAMINE_T": 60}
# A quarter too much is an overdose; less than half treats nothing and is believed to treat.
_OVER, _UNDER = 1.25, 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """``level`` is what really is in the water afterwards, ``meant`` what the order wanted.

    ``reached`` are the animals the dose really comes to: species and group.
    """

    agent: str
    level: float
    meant: float
    reached: tuple[tuple[str, str], ...]
    temperature_c: float = 24.0
    oxygen_mg_l: float = 7.0
    alkalinity_meq_l: float = 2.4
    minutes: int | None = None
    hours_since: float | None = None
    is_what_it_says: bool = True
    is_in_date: bool = True
    is_unspoiled: bool = True
    is_ordered: bool = True
    is_taken_out: bool = False


def dangers(truth: Truth) -> tuple[str, ...]:
    """Return why the dose is dangerous; empty when it is not."""
    return (*_of_level(truth), *_of_animals(truth), *_of_water(truth), *_of_facts(truth))


def _of_level(truth: Truth) -> Iterator[str]:
    if truth.level > truth.meant * _OVER:
        yield "overdose"
    elif truth.level > _harmful(truth):
        yield "over a limit"
    if truth.level < truth.meant * _UNDER:
        yield "untreated"


def _harmful(truth: Truth) -> float:
    has_salmon = any(species.startswith(_SALMON) for species, _ in truth.reached)
    if truth.agent == "FORMALIN":
        return 178.0 if has_salmon and truth.temperature_c >= 10.0 else 262.0  # noqa: PLR2004  50 °F
    if truth.agent == "HYDROGEN_PEROXIDE":
        return 105.0 if has_salmon else 79.0
    return _HARMS_ABOVE.get(truth.agent, float("inf"))


def _of_animals(truth: Truth) -> Iterator[str]:
    dying = _DIES_OF.get(truth.agent, ())
    if any(group in dying for _, group in truth.reached):
        yield "kills what lives there"
    is_pike = any(species in {"Esox lucius", "Polyodon spathula"} for species, _ in truth.reached)
    if truth.agent == "HYDROGEN_PEROXIDE" and is_pike:
        yield "kills what lives there"


def _of_water(truth: Truth) -> Iterator[str]:
    if truth.agent.startswith("COPPER") and truth.alkalinity_meq_l < 1.0:
        yield "copper in soft water"
    if truth.agent == "FORMALIN" and truth.oxygen_mg_l < 5.0:  # noqa: PLR2004  mg/L, of ponds
        yield "too little oxygen"
    if truth.agent == "FORMALIN" and truth.temperature_c > 27.0:  # noqa: PLR2004  °C, of ponds
        yield "too warm"
    if truth.minutes is not None and truth.minutes > _MOST_MINUTES.get(truth.agent, truth.minutes):
        yield "too long"
    if truth.hours_since is not None and truth.hours_since < _LEAST_HOURS.get(truth.agent, 0.0):
        yield "too soon"


def _of_facts(truth: Truth) -> Iterator[str]:
    facts = {
        "another chemical": truth.is_what_it_says,
        "out of date": truth.is_in_date,
        "spoiled": truth.is_unspoiled,
        "no order": truth.is_ordered,
        "taken out at once": not truth.is_taken_out,
    }
    yield from (name for name, is_well in facts.items() if not is_well)
