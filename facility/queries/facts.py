"""A row as plain values, the way the ledger remembers it."""

from typing import Any

from django.db import models

from facility.rules.canonical import plain


def facts_of(row: models.Model) -> dict[str, Any]:
    """Every column of ``row`` under its name, with ``model`` saying which table."""
    columns = {
        field.attname: _column(field.value_from_object(row)) for field in row._meta.concrete_fields
    }
    return {"model": row._meta.label_lower, **columns}


def _column(value: Any) -> Any:
    if hasattr(value, "lower") and hasattr(value, "upper") and not isinstance(value, str):
        return [plain(value.lower), plain(value.upper)]
    return plain(value)
