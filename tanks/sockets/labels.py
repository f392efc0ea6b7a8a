"""What else bears a label of ours: a higher app knows its own, and where each leads."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from facility.models import Person
from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class Labelled:
    """What a code is on; ``retired_at`` is since when it leads nowhere."""

    url: str
    retired_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSource:
    """``found(code, person)`` is what bears the code, where the person may see it.

    Without a person it tells whether the code was ever used.
    """

    name: str
    found: Callable[[str, Person | None], Labelled | None]


label_sources: Final = Socket[LabelSource]("labels")


def labelled(code: str, person: Person | None = None) -> Labelled | None:
    """Return what else bears this code; None when nothing that the person may see does."""
    answers = (source.found(code, person) for source in label_sources)
    return next((answer for answer in answers if answer is not None), None)
