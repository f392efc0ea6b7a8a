"""How long a text and how large a number its column can keep, told before it gets there."""

from inspect import unwrap
from typing import Any, Final, TypeAlias, get_args, get_type_hints

from django.db import models

from facility.sockets.deeds import Deed

# Quoted: Django's fields take parameters only for the type checker.
Column: TypeAlias = "models.Field[Any, Any] | None"

DECIMALS: Final = 6
_MOST_DIGITS: Final = 16
_TEXT: Final = 300


def kept_by(deed: Deed) -> type[models.Model] | None:
    """Return the model of the rows that the deed's function says it returns."""
    answer = get_type_hints(unwrap(deed.give)).get("return")
    kinds = (answer, *get_args(answer))
    return next((kind for kind in kinds if _is_model(kind)), None)


def column_of(kept: type[models.Model] | None, name: str) -> Column:
    """Return the column that keeps the command's field of this name, if there is one.

    It may be a column of a row made alongside, to which the kept one points.
    """
    own = _columns(kept)
    beside = [column for one in own for column in _columns(one.related_model)]
    return next((column for column in (*own, *beside) if column.name == name), None)


def longest(column: Column) -> int:
    """Return how many characters fit; what no column is known for may be a long sentence."""
    return (column.max_length if column else None) or _TEXT


def most_digits(column: Column) -> int:
    """Return how many digits to read: as many before the point as fit, six after it."""
    if not isinstance(column, models.DecimalField):
        return _MOST_DIGITS
    return (column.max_digits or 0) - (column.decimal_places or 0) + DECIMALS


def _columns(kept: Any) -> list[Any]:
    return list(kept._meta.concrete_fields) if _is_model(kept) else []


def _is_model(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, models.Model)
