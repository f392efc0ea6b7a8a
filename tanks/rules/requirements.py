"""A requirement and what is known of it; only what is proven counts as met."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any, Final, Literal, NamedTuple, TypeAlias

State: TypeAlias = Literal["met", "not-met", "unknown"]
MET: Final = "met"
NOT_MET: Final = "not-met"
UNKNOWN: Final = "unknown"


class Evidence(NamedTuple):
    """What speaks for or against, and where it stands."""

    text: str
    url: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirement:
    """One condition, judged, with a sentence for people and the facts it rests on."""

    code: str
    title: str
    state: State
    sentence: str
    evidence: tuple[Evidence, ...] = ()


def state_of(*, holds: bool | None) -> State:
    """Turn yes, no and cannot-tell into a state; doubt is never met."""
    if holds is None:
        return UNKNOWN
    return MET if holds else NOT_MET


def all_met(requirements: Iterable[Requirement]) -> bool:
    """Tell whether everything is met; an empty list proves nothing."""
    states = [requirement.state for requirement in requirements]
    return bool(states) and all(state == MET for state in states)


def as_plain(requirements: Iterable[Requirement]) -> list[dict[str, Any]]:
    """Return the requirements as JSON holds them."""
    return [
        asdict(requirement) | {"evidence": [list(shown) for shown in requirement.evidence]}
        for requirement in requirements
    ]
