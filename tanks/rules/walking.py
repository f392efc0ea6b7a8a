"""In which order one walks past tanks: by their codes, as people count. Pure."""

import re
from typing import Final, TypeAlias

WalkingKey: TypeAlias = tuple[tuple[int, int, str], ...]

_PARTS: Final = re.compile(r"[0-9]+|[^0-9]+")


def walking_key(code: str) -> WalkingKey:
    """Sort ``A-9`` before ``A-10``, and a system before the tanks that bear its code."""
    parts = _PARTS.findall(code.upper())
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts)
