"""What higher apps add to a start-up's dossier."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.sockets.paper import Section
from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True)
class SectionSource:
    """``compose(cycle_id, at)`` tells what is known at ``at``, or None for nothing."""

    name: str
    compose: Callable[[UUID, datetime], Section | None]


dossier_sections: Final = Socket[SectionSource]("The dossier")


def sections_from_above(cycle_id: UUID, at: datetime) -> Iterator[Section]:
    for source in dossier_sections:
        if section := source.compose(cycle_id, at):
            yield section
