"""A row as plain values, the way the ledger remembers it."""

from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from django.db import models

from facility.rules.canonical import plain


def facts_of(row: models.Model) -> dict[str, Any]:
    """Every column of ``row`` under its name, with ``model`` saying which table."""
    columns = {
        field.attname: _column(field.value_from_object(row)) for field in row._meta.concrete_fields
    }
    return {"model": row._meta.label_lower, **columns}


def as_stored(rows: Iterable[models.Model]) -> list[models.Model]:
    """The rows as the database holds them: rounded and scaled by their columns."""
    rows = list(rows)
    wanted: dict[type[models.Model], list[Any]] = defaultdict(list)
    for row in rows:
        wanted[type(row)].append(row.pk)
    found = {model: model._base_manager.in_bulk(pks) for model, pks in wanted.items()}
    return [found[type(row)][row.pk] for row in rows]


def _column(value: Any) -> Any:
    if hasattr(value, "lower") and hasattr(value, "upper") and not isinstance(value, str | bytes):
        return [plain(value.lower), plain(value.upper)]
    return plain(value)
