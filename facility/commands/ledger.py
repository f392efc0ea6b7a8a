"""One line in the ledger for each command, in the command's own transaction."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db import models, transaction

from facility.models import Entry, Person, Site
from facility.queries.facts import as_stored, facts_of
from facility.queries.ledger import line_digest
from facility.rules.canonical import FIRST_PREVIOUS
from facility.sockets.aftermath import following


def record(
    kind: str,
    rows: Iterable[models.Model],
    *,
    about: models.Model,
    site: Site,
    by: Person | None,
    happened_at: datetime,
    recorded_at: datetime,
    **more: Any,
) -> Entry:
    """Add one line to the site's ledger; what follows from it starts after commit.

    Raises:
        TransactionManagementError: no transaction is open (a mistake in the caller).
    """
    previous = _latest_locked(site)
    entry = Entry(
        site=site,
        number=previous.number + 1 if previous else 1,
        kind=kind,
        about=key_of(about),
        facts={"rows": [facts_of(row) for row in as_stored(rows)], **more},
        happened_at=happened_at,
        recorded_at=recorded_at,
        by=by,
        previous=previous.digest if previous else FIRST_PREVIOUS,
    )
    entry.digest = line_digest(entry)
    entry.save(force_insert=True)
    _follow(entry)
    return entry


def key_of(row: models.Model) -> str:
    """``app.model:id``, the way the ledger names a row."""
    return f"{row._meta.label_lower}:{row.pk}"


def _latest_locked(site: Site) -> Entry | None:
    """The site's row is the lock that keeps the chain a chain."""
    Site.objects.select_for_update(no_key=True).get(pk=site.pk)
    return Entry.objects.filter(site=site).order_by("-number").first()


def _follow(entry: Entry) -> None:
    for aftermath in following(entry.kind):
        transaction.on_commit(_start(aftermath.follow, entry), robust=True)


def _start(follow: Any, entry: Entry) -> Any:
    return lambda: follow(entry.kind, entry.about, entry.facts)
