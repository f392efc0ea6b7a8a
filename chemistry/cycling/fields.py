"""Typed reading of a JSON object, where every refusal names the key and the mend."""

import json
import math
from collections.abc import Iterator, Mapping
from typing import TypeGuard

_REQUIRED = object()
_LONGEST_SHOWN = 40


class BadCase(ValueError):  # noqa: N818 - a name for what was handed in
    """The text is not a case; the message is one sentence naming the line or key."""


class Fields:
    """One JSON object and the path that leads to it."""

    def __init__(self, content: object, *, path: str = "") -> None:
        if not isinstance(content, Mapping):
            name = path or "The case"
            raise BadCase(f"{name}: write an object in braces, not {shown(content)}.")
        self._content = content
        self._path = path

    def at(self, key: str) -> str:
        return f"{self._path}.{key}" if self._path else key

    def has(self, key: str) -> bool:
        return self._content.get(key) is not None

    def is_null(self, key: str) -> bool:
        """Tell whether the key is written, and written as nothing."""
        return key in self._content and self._content[key] is None

    def raw(self, key: str, default: object = _REQUIRED) -> object:
        found = self._content.get(key)
        if found is not None:
            return found
        if default is _REQUIRED:
            raise BadCase(f"{self.at(key)}: is missing; add it.")
        return default

    def number(
        self, key: str, default: object = _REQUIRED, *, low: float = 0.0, high: float = math.inf
    ) -> float:
        found = self.raw(key, default)
        if not _is_number(found):
            raise BadCase(f"{self.at(key)}: write a number, not {shown(found)}.")
        if not low <= found <= high:
            raise BadCase(f"{self.at(key)}: {found:g} is not {_bounds(low, high)}.")
        return float(found)

    def whole(self, key: str, default: int, *, low: int, high: int) -> int:
        found = self.number(key, default, low=low, high=high)
        if not found.is_integer():
            raise BadCase(f"{self.at(key)}: write a whole number, not {found:g}.")
        return int(found)

    def text(self, key: str) -> str:
        found = self.raw(key)
        if isinstance(found, str):
            return found
        raise BadCase(f"{self.at(key)}: write a text in quotes, not {shown(found)}.")

    def choice(self, key: str, among: tuple[str, ...], default: object = _REQUIRED) -> str:
        found = self.raw(key, default)
        if isinstance(found, str) and found in among:
            return found
        raise BadCase(f"{self.at(key)}: {shown(found)} is not one of {', '.join(among)}.")

    def truth(self, key: str, *, default: bool) -> bool:
        found = self.raw(key, default)
        if isinstance(found, bool):
            return found
        raise BadCase(f"{self.at(key)}: write true or false, not {shown(found)}.")

    def inner(self, key: str, default: object = _REQUIRED) -> "Fields":
        return Fields(self.raw(key, default), path=self.at(key))

    def each(self, key: str) -> Iterator["Fields"]:
        found = self.raw(key, [])
        if not isinstance(found, list):
            raise BadCase(f"{self.at(key)}: write a list in brackets, not {shown(found)}.")
        for place, content in enumerate(found):
            yield Fields(content, path=f"{self.at(key)}[{place}]")


def _is_number(found: object) -> TypeGuard[int | float]:
    if isinstance(found, bool) or not isinstance(found, int | float):
        return False
    return math.isfinite(found)


def shown(content: object) -> str:
    """Return what was found as JSON has it, on one line and short enough for a sentence."""
    if isinstance(content, Mapping):
        return "an object"
    if isinstance(content, list):
        return "a list"
    written = json.dumps(content, ensure_ascii=False)
    return written if len(written) <= _LONGEST_SHOWN else f"{written[:_LONGEST_SHOWN]}..."


def _bounds(low: float, high: float) -> str:
    if high == math.inf:
        return "positive or zero" if low == 0 else f"{low:g} or more"
    return f"from {low:g} to {high:g}"
