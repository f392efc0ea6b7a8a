"""Proof that the ledger is whole, and that the recorded rows still say what it says."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Final

from django.apps import apps
from django.db import models

from facility.models import Document, Entry, Fact, Site
from facility.queries.facts import facts_of
from facility.queries.ledger import line_digest
from facility.rules.canonical import FIRST_PREVIOUS

_BATCH: Final = 500


@dataclass(frozen=True, slots=True)
class Breach:
    """The first thing found wrong: the ledger's line, and what is so."""

    number: int
    sentence: str


def first_breach(site: Site) -> Breach | None:
    """Walk the site's ledger from its first line; None means that all of it holds.

    Checked for each line: its number follows, its link and digest are right, and every
    append-only row it speaks of is still there with the same values. Rows that move on, such as
    a policy or a product, must stand as the latest line about each left them.
    """
    return next(_breaches(site), None)


def unrecorded() -> Iterator[str]:
    """Yield append-only rows that no line of any site's ledger speaks of."""
    told = {
        key for site in Site.objects.all() for line in _lines(site) for key in _keys(line.facts)
    }
    for model in _append_only():
        for pk in model._default_manager.values_list("pk", flat=True).iterator():
            if (model._meta.label_lower, str(pk)) not in told:
                yield f"{model._meta.label_lower}:{pk}"


def _breaches(site: Site) -> Iterator[Breach]:
    previous, number = FIRST_PREVIOUS, 0
    latest: dict[tuple[str, str], tuple[int, dict[str, Any]]] = {}
    for lines in _batches(_lines(site)):
        rows = _rows_of(lines)
        for entry in lines:
            number += 1
            yield from _line_breaches(entry, number, previous)
            yield from _row_breaches(entry, rows)
            latest |= {_key(row): (entry.number, row) for row in _moving(entry.facts)}
            previous = entry.digest
    yield from _moved_breaches(latest)


def _moved_breaches(
    latest: dict[tuple[str, str], tuple[int, dict[str, Any]]],
) -> Iterator[Breach]:
    rows = _stored(latest)
    for key, (number, told) in latest.items():
        if key not in rows:
            yield Breach(number, f"the row {key[0]} {key[1]} is gone.")
        elif rows[key] != told:
            yield Breach(number, f"the row {key[0]} {key[1]} was changed by no command.")


def _line_breaches(entry: Entry, number: int, previous: str) -> Iterator[Breach]:
    if entry.number != number:
        yield Breach(number, f"line {number} is missing; the next one is {entry.number}.")
    if entry.previous != previous:
        yield Breach(entry.number, "its link to the line before is wrong.")
    if entry.digest != line_digest(entry):
        yield Breach(entry.number, f"it was changed after it was written ({entry.kind}).")


def _row_breaches(entry: Entry, rows: dict[tuple[str, str], dict[str, Any]]) -> Iterator[Breach]:
    for told in _told(entry.facts):
        key = _key(told)
        if key not in rows:
            yield Breach(entry.number, f"the row {key[0]} {key[1]} is gone.")
        elif rows[key] != told:
            yield Breach(entry.number, f"the row {key[0]} {key[1]} no longer says what was told.")


def _rows_of(lines: Iterable[Entry]) -> dict[tuple[str, str], dict[str, Any]]:
    return _stored(key for entry in lines for key in _keys(entry.facts))


def _stored(keys: Iterable[tuple[str, str]]) -> dict[tuple[str, str], dict[str, Any]]:
    wanted: dict[str, set[str]] = defaultdict(set)
    for model, pk in keys:
        wanted[model].add(pk)
    return {
        (model, str(row.pk)): facts_of(row)
        for model, pks in wanted.items()
        for row in apps.get_model(model)._default_manager.filter(pk__in=pks)
    }


def _keys(facts: dict[str, Any]) -> Iterator[tuple[str, str]]:
    return (_key(told) for told in _told(facts))


def _key(told: dict[str, Any]) -> tuple[str, str]:
    """A row by its table and the value of its primary key."""
    name = apps.get_model(told["model"])._meta.pk.attname
    return told["model"], str(told[name])


def _told(facts: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """The append-only rows a line tells of; others may have moved on since."""
    kept = {model._meta.label_lower for model in _append_only()}
    return (row for row in facts.get("rows", ()) if row.get("model") in kept)


def _moving(facts: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """The rows a line tells of that a later command may bring up to date."""
    kept = {model._meta.label_lower for model in _append_only()}
    return (row for row in facts.get("rows", ()) if row.get("model") not in {None, *kept})


def _append_only() -> list[type[models.Model]]:
    return [model for model in apps.get_models() if issubclass(model, Fact | Document)]


def _lines(site: Site) -> Iterator[Entry]:
    return Entry.objects.filter(site=site).order_by("number").iterator(chunk_size=_BATCH)


def _batches(lines: Iterator[Entry]) -> Iterator[list[Entry]]:
    batch: list[Entry] = []
    for entry in lines:
        batch.append(entry)
        if len(batch) == _BATCH:
            yield batch
            batch = []
    yield batch
