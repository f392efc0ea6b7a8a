"""How much a count of few tells: the exact interval of a share.

Clopper & Pearson 1934, Biometrika 26, 404: the shares under which this count, or one further
out, would come up at least once in forty times at either end.
"""

from collections.abc import Callable
from math import comb
from typing import Final

_TAIL: Final = 0.025
_HALVINGS: Final = 50


def share_interval(*, hits: int, of: int, at_most_hits: int | None = None) -> tuple[float, float]:
    """Return the 95 % interval; where some are undecided, ``at_most_hits`` may yet be hits."""
    most = hits if at_most_hits is None else at_most_hits
    low = 0.0 if hits == 0 else _crossing(lambda share: _at_least(hits, of, share) > _TAIL)
    high = 1.0 if most == of else _crossing(lambda share: _at_most(most, of, share) <= _TAIL)
    return low, high


def _crossing(is_beyond: Callable[[float], bool]) -> float:
    """Return where a test that holds for all larger shares begins to hold."""
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if is_beyond(middle) else (middle, high)
    return (low + high) / 2


def _at_least(hits: int, of: int, share: float) -> float:
    return 1.0 - _at_most(hits - 1, of, share)


def _at_most(hits: int, of: int, share: float) -> float:
    return sum(comb(of, k) * share**k * (1 - share) ** (of - k) for k in range(hits + 1))
