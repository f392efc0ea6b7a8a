"""From clean to dirty without going back, or with a break: kit changed, hands disinfected. Pure.

That work goes from clean to dirty areas, and that going back asks for changed kit and
disinfected hands, is common practice, no source; the ranks of the areas are the house's own.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final

# The scale of the areas' ranks: 1 is the cleanest.
CLEANEST, DIRTIEST = 1, 9

# The answer, in words, and whether kit and hands were seen to.
ANSWERS: Final = {
    "both": ("Kit changed, hands disinfected", True, True),
    "hands": ("Only the hands", False, True),
    "kit": ("Only the kit", True, False),
    "neither": ("Neither", False, False),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HandsOn:
    """Something a person did with their hands in an area of this rank."""

    at: datetime
    rank: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What the person answered when asked; ``is_full`` when kit and hands were both seen to."""

    at: datetime
    to_rank: int
    is_full: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """From the dirtiest area worked in since the last full break to a cleaner one."""

    from_rank: int
    to_rank: int
    since: datetime


def step_to_ask_about(
    to_rank: int, *, acts: Iterable[HandsOn], said: Iterable[Said]
) -> Step | None:
    """Return the step that the person has not been asked about yet, or None.

    A full break ends what was carried along. One that was not full ends only the asking, for
    areas as clean as the one it was asked about, until work in a dirty one goes on.
    """
    said = tuple(said)
    broken_at = max((one.at for one in said if one.is_full), default=None)
    carried = (act for act in acts if broken_at is None or act.at > broken_at)
    dirtiest = max(carried, key=lambda act: (act.rank, act.at), default=None)
    if dirtiest is None or dirtiest.rank <= to_rank:
        return None
    if any(one.at >= dirtiest.at and one.to_rank <= to_rank for one in said if not one.is_full):
        return None
    return Step(from_rank=dirtiest.rank, to_rank=to_rank, since=dirtiest.at)
