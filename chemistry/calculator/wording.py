"""Sentences and figures as people read them."""

import math
from collections.abc import Iterable
from typing import Final

_LONGEST_QUOTE: Final = 40
_TINY: Final = 1e-6
_HUGE: Final = 1e9


class NotUsable(ValueError):  # noqa: N818 - the house names refusals by what is so
    """What was typed for one ask cannot be used; the sentence names the ask and the mend."""


def quoted(text: str) -> str:
    """Return the text between quotation marks, shortened when long, on one line."""
    short = " ".join(text.split())
    return f"“{short if len(short) <= _LONGEST_QUOTE else short[:_LONGEST_QUOTE] + '…'}”"


def listed(names: Iterable[str]) -> str:
    """Return "a, b or c"."""
    *first, last = names
    return f"{', '.join(first)} or {last}" if first else last


def rounded(value: float, figures: int) -> str:
    """Return the value with so many significant figures; whole digits are never rounded away."""
    if not value:
        return "0"
    if not _TINY <= abs(value) < _HUGE:
        return f"{value:.{figures}g}"
    decimals = _decimals(value, figures)
    # 0.0996 to two figures is 0.10, not 0.100.
    return f"{value:.{_decimals(round(value, decimals), figures)}f}"


def mid_sentence(label: str) -> str:
    """Return the label as it stands inside a sentence; pH and NH3 keep their letters."""
    is_word = label[1:2].islower() or label.startswith("A ")
    return label[:1].lower() + label[1:] if is_word else label


def _decimals(value: float, figures: int) -> int:
    return max(0, figures - 1 - math.floor(math.log10(abs(value)))) if value else 0
