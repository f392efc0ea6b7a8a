"""Typed readers of the environment; what cannot be read is said in one sentence."""

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Final

_YES: Final = frozenset({"1", "true", "yes", "on"})
_NO: Final = frozenset({"0", "false", "no", "off"})


class BadSetting(ValueError):  # noqa: N818 - a sentence for a person
    """One sentence naming the variable and the mend."""


def text(name: str, *, default: str, environ: Mapping[str, str] = os.environ) -> str:
    return environ.get(name, "").strip() or default


def flag(name: str, *, default: bool, environ: Mapping[str, str] = os.environ) -> bool:
    """Read yes or no.

    Raises:
        BadSetting: the variable holds another word.
    """
    word = text(name, default="yes" if default else "no", environ=environ).lower()
    if word not in _YES | _NO:
        raise BadSetting(f"{name} is “{word}”: set it to yes or no.")
    return word in _YES


def number(
    name: str, *, default: int, least: int = 0, environ: Mapping[str, str] = os.environ
) -> int:
    """Read a whole number.

    Raises:
        BadSetting: the variable holds no whole number, or one below ``least``.
    """
    digits = text(name, default=str(default), environ=environ)
    if not digits.isascii() or not digits.isdigit() or int(digits) < least:
        raise BadSetting(f"{name} is “{digits}”: set it to a whole number from {least} up.")
    return int(digits)


def words(
    name: str, *, default: tuple[str, ...] = (), environ: Mapping[str, str] = os.environ
) -> list[str]:
    """Read a list separated by commas."""
    listed = text(name, default=",".join(default), environ=environ)
    return [word.strip() for word in listed.split(",") if word.strip()]


def secret(name: str, *, default: str, environ: Mapping[str, str] = os.environ) -> str:
    """Read a secret from the variable, or from the file that ``<name>_FILE`` points to.

    Raises:
        BadSetting: both are set, or the file cannot be read or is empty.
    """
    path = text(f"{name}_FILE", default="", environ=environ)
    if not path:
        return text(name, default=default, environ=environ)
    if text(name, default="", environ=environ):
        raise BadSetting(f"Both {name} and {name}_FILE are set: keep one of them.")
    return _contents(f"{name}_FILE", path)


def _contents(name: str, path: str) -> str:
    try:
        kept = Path(path).read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError) as error:
        raise BadSetting(f"{name} points to {path}, which cannot be read: {error}.") from error
    if not kept:
        raise BadSetting(f"{name} points to {path}, which is empty: write the secret into it.")
    return kept
