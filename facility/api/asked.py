"""What the part of an address after the question mark asks for."""

from collections.abc import Mapping
from typing import Any

from rest_framework import serializers
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request


class KnownFieldsSerializer(serializers.Serializer[Any]):
    """A field nobody knows is refused by name: misspelt, it would quietly be left out."""

    def to_internal_value(self, data: Any) -> Any:
        unknown = self._unknown(data)
        try:
            known = super().to_internal_value(data)
        except ValidationError as error:
            raise ValidationError({**_by_field(error), **unknown}) from error
        if unknown:
            raise ValidationError(unknown)
        return known

    def _unknown(self, given: Any) -> dict[str, list[str]]:
        names = sorted(set(given) - set(self.fields)) if isinstance(given, Mapping) else []
        return {name: ["There is no such field; remove it."] for name in names}


def asked(sheet: type[serializers.Serializer[Any]], request: Request) -> dict[str, Any]:
    """Return what was asked for, by name, without what was left out.

    Raises:
        ValidationError: something asked for cannot be read; the sentence stands at its name.
    """
    read = sheet(data=request.query_params.dict())
    read.is_valid(raise_exception=True)
    return {name: value for name, value in read.validated_data.items() if value not in (None, "")}


def _by_field(error: ValidationError) -> dict[str, Any]:
    told: Any = error.detail
    return told if isinstance(told, dict) else {"non_field_errors": told}
