"""The calculators as a list to look through. Pure."""

from collections.abc import Iterator
from dataclasses import dataclass

from chemistry.calculator import CALCULATIONS, Calculation
from chemistry.calculator.terms import Subject


@dataclass(frozen=True, slots=True)
class Group:
    """The calculations of one subject, in the order of the catalogue."""

    heading: str
    calculations: tuple[Calculation, ...]


def found_by(words: str) -> tuple[Group, ...]:
    """Return what has every word in its question, its subject, or what it asks and answers."""
    wanted = words.casefold().split()
    found = [entry for entry in CALCULATIONS if all(word in _text(entry) for word in wanted)]
    return tuple(_groups(found))


def _groups(found: list[Calculation]) -> Iterator[Group]:
    for subject in Subject:
        entries = tuple(entry for entry in found if entry.subject == subject)
        if entries:
            yield Group(_heading(subject), entries)


def _heading(subject: Subject) -> str:
    """With a capital, but for a word that begins as a sign does: pH."""
    second = subject.value[1]
    return subject.value if second.isupper() else subject.value.capitalize()


def _text(entry: Calculation) -> str:
    parts = [entry.question, entry.name, entry.subject.value]
    parts += [part.label for part in (*entry.asks, *entry.outputs)]
    return " ".join(parts).casefold()
