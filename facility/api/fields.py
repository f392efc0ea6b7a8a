"""A command dataclass as a serializer: the same names, types and defaults."""

from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Any, Final, Union, get_args, get_origin, get_type_hints
from uuid import UUID

from rest_framework import serializers


class ZonedDateTimeField(serializers.DateTimeField):
    """A moment; without its UTC offset it could be any of two dozen, so it is refused."""

    default_error_messages = {
        "no_zone": "Give the time with its offset from UTC, such as 2026-03-29T13:05:00+01:00."
    }

    def enforce_timezone(self, value: datetime) -> datetime:
        if value.tzinfo is None:
            self.fail("no_zone")
        return super().enforce_timezone(value)


class CommandSerializer(serializers.Serializer[Any]):
    """Base of what ``serializer_of`` makes; a field nobody knows is refused by name."""

    command: type

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        unknown = sorted(set(self.initial_keys()) - set(self.fields))
        if unknown:
            raise serializers.ValidationError(
                dict.fromkeys(unknown, "There is no such field; remove it.")
            )
        return attrs

    def initial_keys(self) -> list[str]:
        given = getattr(self, "initial_data", None)
        return list(given) if isinstance(given, Mapping) else []

    def asked(self) -> Any:
        """The command as validated."""
        return _command(self.command, self.validated_data)


@cache
def serializer_of(command: type) -> type[CommandSerializer]:
    """Build the serializer of a command dataclass, nested dataclasses included."""
    hints = get_type_hints(command)
    made: dict[str, Any] = {
        field.name: _field(hints[field.name], **_presence(field)) for field in fields(command)
    }
    return type(f"{command.__name__}Serializer", (CommandSerializer,), made | {"command": command})


def _presence(field: Field[Any]) -> dict[str, Any]:
    if field.default is not MISSING:
        return {"default": field.default}
    if field.default_factory is not MISSING:
        return {"default": field.default_factory}
    return {}


def _field(hint: Any, **presence: Any) -> Any:
    if get_origin(hint) in (Union, UnionType):
        kinds = [kind for kind in get_args(hint) if kind is not NoneType]
        nullable = {"allow_null": True} | ({} if presence else {"default": None})
        return _field(kinds[0], **presence, **nullable)
    if get_origin(hint) in (tuple, frozenset, list):
        return _many(get_args(hint)[0], presence)
    return _plain(hint, presence)


def _many(kind: Any, presence: dict[str, Any]) -> Any:
    if is_dataclass(kind) and isinstance(kind, type):
        return serializer_of(kind)(many=True, **presence)
    return serializers.ListField(child=_field(kind), **presence)


def _plain(hint: Any, presence: dict[str, Any]) -> Any:
    kind = get_origin(hint) or hint
    for known, build in _FIELDS:
        if isinstance(kind, type) and issubclass(kind, known):
            return build(presence)
    raise TypeError(f"A command cannot carry {hint!r}.")


def _text(presence: dict[str, Any]) -> Any:
    return serializers.CharField(allow_blank=True, trim_whitespace=True, **presence)


def _decimal(presence: dict[str, Any]) -> Any:
    return serializers.DecimalField(max_digits=16, decimal_places=6, **presence)


# In this order: True is also an int, and a moment is also a date.
_FIELDS: Final[tuple[tuple[type, Callable[[dict[str, Any]], Any]], ...]] = (
    (UUID, lambda presence: serializers.UUIDField(**presence)),
    (bool, lambda presence: serializers.BooleanField(**presence)),
    (int, lambda presence: serializers.IntegerField(**presence)),
    (Decimal, _decimal),
    (float, lambda presence: serializers.FloatField(**presence)),
    (datetime, lambda presence: ZonedDateTimeField(**presence)),
    (date, lambda presence: serializers.DateField(**presence)),
    (str, _text),
    (Mapping, lambda presence: serializers.JSONField(**presence)),
    (dict, lambda presence: serializers.JSONField(**presence)),
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
