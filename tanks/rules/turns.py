"""What turning a valve does to the waters, in words. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass

from facility.rules.wording import written


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One water before or after the turn; ``litres`` is None while a member is unmeasured."""

    name: str
    codes: tuple[str, ...]
    litres: float | None
    unmeasured: tuple[str, ...] = ()


def says(before: Sequence[Part], after: Sequence[Part]) -> str:
    """Tell which waters are joined or split, and the net volumes that follow."""
    if len(after) < len(before):
        joined = " and ".join(_named(part) for part in before)
        return f"Opening joins {joined} into one water: {_volume(after[0])}."
    if len(after) > len(before):
        parts = "; ".join(f"{_named(part)}: {_volume(part)}" for part in after)
        return f"Closing splits the water of {_named(before[0])}. After it: {parts}."
    return f"The water stays as it is: {_named(after[0])}, {_volume(after[0])}."


def _named(part: Part) -> str:
    others = len(part.codes) - 1
    if not others:
        return part.name
    return f"{part.name} with {others} other{'s' if others > 1 else ''}"


def _volume(part: Part) -> str:
    if part.litres is not None:
        return f"{written(part.litres)} L net"
    return f"net volume unknown, because {_list(part.unmeasured)} not measured"


def _list(codes: tuple[str, ...]) -> str:
    if len(codes) == 1:
        return f"{codes[0]} is"
    return f"{', '.join(codes[:-1])} and {codes[-1]} are"
