"""What every command asks first: whose turn it is, and whether this came before."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any, Final, TypeVar
from uuid import UUID

from django.db import models

from facility.models import Site
from facility.refusals import IdTaken, Refusal

CLOCKS_DIFFER_BY: Final = timedelta(minutes=5)

SAVED_OTHERWISE: Final = (
    "This was saved before with other content; open the page again to start anew."
)

Row = TypeVar("Row", bound=models.Model)


class InTheFuture(Refusal):
    code = "in-the-future"
    field = "happened_at"


def take_turn(site: Site) -> None:
    """Let one command at a time read and write at a site; held until its transaction ends.

    The ledger takes the same lock later anyway. Taken first, what a rule has read stays so,
    and two deliveries of one id meet here instead of in the primary key.
    """
    Site.objects.select_for_update(no_key=True).get(pk=site.pk)


def earlier(model: type[Row], id_: UUID, content: Mapping[str, Any]) -> Row | None:
    """Return the row that ``id_`` already names, or None when this is the first delivery.

    ``content`` maps columns to what the command says of them.

    Raises:
        IdTaken: the row says something else.
    """
    row = model._default_manager.filter(pk=id_).first()
    if row is None:
        return None
    if any(getattr(row, column) != value for column, value in content.items()):
        raise IdTaken(SAVED_OTHERWISE)
    return row


def require_past(happened_at: datetime, *, at: datetime) -> None:
    """Refuse what has not happened yet; five minutes are left to clocks that differ."""
    if happened_at > at + CLOCKS_DIFFER_BY:
        raise InTheFuture("The time lies in the future; give the time when it happened.")
