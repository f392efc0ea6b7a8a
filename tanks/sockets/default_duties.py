"""Usual duties that higher apps know of: looking at animals that wait, say."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.sockets.socket import Socket
from tanks.rules.default_duties import DefaultDuty


@dataclass(frozen=True, slots=True, kw_only=True)
class DutySource:
    """``subjects(site_id, at)`` gives the ledger keys of what gets the ``duty``, in order."""

    name: str
    duty: DefaultDuty
    subjects: Callable[[UUID, datetime], Iterable[str]]


duty_sources: Final = Socket[DutySource]("usual duties")
