"""A command dataclass as a serializer: the same names, types and defaults."""

import json
from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import date, datetime, time
from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Any, Final, TypeAlias, Union, get_args, get_origin, get_type_hints
from uuid import UUID

from django.db import models
from rest_framework import serializers

from facility.api.asked import KnownFieldsSerializer
from facility.api.columns import DECIMALS, Column, column_of, longest, most_digits
from facility.api.moments import DayField, ZonedDateTimeField

_Kept: TypeAlias = type[models.Model] | None

# What an integer column keeps, and more rows than one sheet ever holds.
_LEAST, _MOST = -(2**31), 2**31 - 1
_MANY: Final = 500


class CommandSerializer(KnownFieldsSerializer):
    """Base of what ``serializer_of`` makes."""

    command: type

    def asked(self) -> Any:
        """The command as validated."""
        return _command(self.command, self.validated_data)


class RecordField(serializers.DictField):
    """Named values as JSON knows them, with only characters that the database can keep."""

    default_error_messages = {"unkept": "It holds characters that cannot be kept; remove them."}

    def to_internal_value(self, data: Any) -> Any:
        told = super().to_internal_value(data)
        text = json.dumps(told, ensure_ascii=False)
        if "\\u0000" in text or any("\ud800" <= each <= "\udfff" for each in text):
            self.fail("unkept")
        return told


@cache
def serializer_of(command: type, kept: _Kept = None) -> type[CommandSerializer]:
    """Build the serializer of a command dataclass, nested dataclasses included.

    Texts and numbers are bounded by the columns of ``kept`` that bear the same names.
    """
    hints = get_type_hints(command)
    made: dict[str, Any] = {
        field.name: _field(hints[field.name], column_of(kept, field.name), **_presence(field))
        for field in fields(command)
    }
    return type(f"{command.__name__}Serializer", (CommandSerializer,), made | {"command": command})


def _presence(field: Field[Any]) -> dict[str, Any]:
    if field.default is not MISSING:
        return {"default": field.default}
    if field.default_factory is not MISSING:
        return {"default": field.default_factory}
    return {}


def _field(hint: Any, column: Column, **presence: Any) -> Any:
    if get_origin(hint) in (Union, UnionType):
        kinds = [kind for kind in get_args(hint) if kind is not NoneType]
        nullable = {"allow_null": True} | ({} if presence else {"default": None})
        return _field(kinds[0], column, **presence, **nullable)
    if get_origin(hint) in (tuple, frozenset, list):
        return _many(get_args(hint)[0], presence)
    return _plain(hint, column, presence)


def _many(kind: Any, presence: dict[str, Any]) -> Any:
    if is_dataclass(kind) and isinstance(kind, type):
        rows: Any = serializer_of(kind)
        return rows(many=True, max_length=_MANY, **presence)
    return serializers.ListField(child=_field(kind, None), max_length=_MANY, **presence)


def _plain(hint: Any, column: Column, presence: dict[str, Any]) -> Any:
    kind = get_origin(hint) or hint
    for known, build in _FIELDS:
        if isinstance(kind, type) and issubclass(kind, known):
            return build(column, presence)
    raise TypeError(f"A command cannot carry {hint!r}.")


def _text(column: Column, presence: dict[str, Any]) -> Any:
    most = longest(column)
    return serializers.CharField(
        allow_blank=True, trim_whitespace=True, max_length=most, **presence
    )


def _decimal(column: Column, presence: dict[str, Any]) -> Any:
    most = most_digits(column)
    return serializers.DecimalField(max_digits=most, decimal_places=DECIMALS, **presence)


def _whole(_: Column, presence: dict[str, Any]) -> Any:
    return serializers.IntegerField(min_value=_LEAST, max_value=_MOST, **presence)


# In this order: True is also an int, and a moment is also a date.
_FIELDS: Final[tuple[tuple[type, Callable[[Column, dict[str, Any]], Any]], ...]] = (
    (UUID, lambda _, presence: serializers.UUIDField(**presence)),
    (bool, lambda _, presence: serializers.BooleanField(**presence)),
    (int, _whole),
    (Decimal, _decimal),
    (datetime, lambda _, presence: ZonedDateTimeField(**presence)),
    (date, lambda _, presence: DayField(**presence)),
    (time, lambda _, presence: serializers.TimeField(**presence)),
    (str, _text),
    (Mapping, lambda _, presence: RecordField(**presence)),
)


def _command(command: type, given: Mapping[str, Any]) -> Any:
    hints = get_type_hints(command)
    return command(**{name: _value(hints[name], value) for name, value in given.items()})


def _value(hint: Any, value: Any) -> Any:
    kind = get_origin(hint)
    if kind not in (tuple, frozenset) or value is None:
        return value
    inner = get_args(hint)[0]
    if is_dataclass(inner) and isinstance(inner, type):
        return kind(_command(inner, each) for each in value)
    return kind(value)
