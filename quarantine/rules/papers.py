"""The papers a consignment travels with, line by line. Pure.

What a CITES document must say: 50 CFR 23.23(c) in the annual edition of 2015; source codes:
50 CFR 23.24, the same edition. Codes F and X are from memory, unverified. The law where the
animals are decides.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

KINDS: Final = {
    "CITES": "CITES permit or certificate",
    "HEALTH": "Health certificate",
    "IMPORT": "Import permit",
    "INVOICE": "Invoice or packing list",
    "OTHER": "Other paper",
}
APPENDICES: Final = ("I", "II", "III")
SOURCE_CODES: Final = {
    "A": "Artificially propagated plant",
    "C": "Bred in captivity",
    "D": "Appendix I, bred commercially at a registered operation",
    "F": "Born in captivity, not meeting C (from memory, unverified)",
    "I": "Confiscated",
    "O": "Pre-Convention",
    "R": "Ranched",
    "U": "Source unknown",
    "W": "From the wild",
    "X": "Taken from the sea (from memory, unverified)",
}
SOURCE: Final = "50 CFR 23.23(c) and 23.24, edition of 2015"
SOON_DAYS: Final = 30
# “One case” or “one batch” is not a quantity.
_UNITS: Final = ("specimens", "individuals", "animals", "pieces", "live", "kg", "g")
_QUANTITY: Final = re.compile(r"(\d{1,9}(?:[.,]\d{1,3})?)\s*([a-z]+)?", re.IGNORECASE)
# Genus and species; stony corals may be told as an order only when they are rock.
_TAXON: Final = re.compile(r"[A-Z][a-z-]+ [a-z-]+(?: [a-z. -]+)?")
_CORAL_ROCK: Final = re.compile(r"scleractinia\b.*\brock", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """One line of one paper; what is empty is not on it."""

    kind: str
    number: str = ""
    valid_until: date | None = None
    appendix: str = ""
    scientific_name: str = ""
    quantity: str = ""
    source_code: str = ""


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with one field of it, and the mend."""

    field: str
    sentence: str


def faults(paper: Paper) -> list[Fault]:
    """Return everything that keeps a paper from being taken on record."""
    if paper.kind not in KINDS:
        return [Fault("kind", "Choose what kind of paper it is.")]
    found = [] if paper.number.strip() else [Fault("number", "Write the number on the paper.")]
    return found if paper.kind != "CITES" else [*found, *_cites_faults(paper)]


def standing(paper: Paper, *, on: date) -> str:
    """Return what its date means on that day; empty when there is nothing to say.

    A CITES document holds until midnight at the end of the day printed on it.
    """
    until = paper.valid_until
    if until is None:
        return "" if paper.kind in {"INVOICE", "OTHER"} else "No end of validity is on record."
    if until < on:
        return f"It expired at midnight on {_day(until)}: keep the animals on hold and ask."
    if (until - on).days <= SOON_DAYS:
        return f"It expires at midnight on {_day(until)}."
    return ""


def is_expired(paper: Paper, *, on: date) -> bool:
    return paper.valid_until is not None and paper.valid_until < on


def quantity_of(text: str) -> tuple[float, str] | None:
    """Return number and unit of a quantity; None for “one box” and the like."""
    found = _QUANTITY.fullmatch(text.strip())
    if found is None:
        return None
    unit = (found[2] or "specimens").lower()
    number = float(found[1].replace(",", "."))
    return (number, unit) if unit in _UNITS and number > 0 else None


def paper_from(told: Mapping[str, Any]) -> Paper:
    """Return a paper from the way it is kept."""
    until = told.get("valid_until")
    known = {name: str(told.get(name) or "") for name in _TEXTS}
    return Paper(valid_until=date.fromisoformat(until) if until else None, **known)


def as_kept(paper: Paper) -> dict[str, str | None]:
    """Return a paper as plain values."""
    until = paper.valid_until.isoformat() if paper.valid_until else None
    return {name: getattr(paper, name).strip() for name in _TEXTS} | {"valid_until": until}


_TEXTS: Final = ("kind", "number", "appendix", "scientific_name", "quantity", "source_code")


def _cites_faults(paper: Paper) -> Iterator[Fault]:
    if paper.valid_until is None:
        yield Fault("valid_until", "Write until when it is valid.")
    if paper.appendix not in APPENDICES:
        yield Fault("appendix", "Choose Appendix I, II or III.")
    if not _names_a_taxon(paper.scientific_name):
        yield Fault(
            "scientific_name",
            "Write the scientific name to the species, such as Hippocampus kuda; "
            "“Scleractinia” alone is for coral rock.",
        )
    if quantity_of(paper.quantity) is None:
        yield Fault(
            "quantity",
            "Write the quantity in units, such as 24 specimens or 3.5 kg; "
            "“one box” or “one batch” is not accepted.",
        )
    if paper.source_code not in SOURCE_CODES:
        yield Fault("source_code", "Choose the source code printed on it.")


def _names_a_taxon(text: str) -> bool:
    plain = text.strip()
    return bool(_TAXON.fullmatch(plain) or _CORAL_ROCK.search(plain))


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
