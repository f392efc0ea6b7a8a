"""What lives in a water, and what it is treated with, against a dose from the shelf."""

from collections.abc import Iterator
from typing import Final

from facility.rules.wording import written
from quarantine.queries.books import Held, lots_in
from quarantine.queries.courses import binding_in
from quarantine.queries.guarding import animals_of
from quarantine.rules.guard_amounts import BAND
from tanks.sockets.guarding import ShelfDose

_HARMS: Final = {
    "AMMONIA": "Ammonia never goes into water that holds animals",
    "CHALLENGE": "Ammonia never goes into water that holds animals",
    "SALINITY": "Dry salt never goes into water that holds animals",
}


def shelf_stops(dose: ShelfDose) -> Iterator[str]:
    """Yield what the lots of this water, their species' sheets and its course say against it."""
    held = lots_in(dose.member_ids, at=dose.at)
    if held and dose.purpose in _HARMS:
        yield f"{_HARMS[dose.purpose]}: {_named(held)}."
    if held and not dose.computed / BAND < dose.amount < dose.computed * BAND:
        yield (
            f"{written(dose.amount)} {dose.unit} is {dose.amount / dose.computed:.2g} times the "
            f"computed {written(dose.computed)} {dose.unit}, and animals live here: look at the "
            "decimal point and the unit."
        )
    for one in animals_of(held, at=dose.at):
        if why := one.spared.get(dose.substance):
            yield f"{one.lot} {one.species} in {one.vessel}: {why}."
    if dose.purpose in {"AMMONIA", "CHALLENGE"}:
        for stands in binding_in(dose.member_ids, dose.at):
            yield f"{stands.sentence} What treats animals harms the filter that is fed."


def _named(held: list[Held]) -> str:
    return ", ".join(f"{one.count} {one.lot.species} in {one.vessel.code}" for one in held)
