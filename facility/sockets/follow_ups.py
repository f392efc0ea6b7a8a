"""What an event makes necessary: a line of the ledger is followed by work, set as data."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any, Final

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUp:
    """Work due ``after`` each of these spans from an event of the kind ``of``.

    ``when`` names columns one row of the line must hold, such as ``{"kind": "POWER_LOSS"}``.
    ``title`` and ``why`` may name the ``{place}``; ``source`` says where the intervals are from.
    """

    name: str
    of: str
    kind: str
    title: str
    why: str
    after: tuple[timedelta, ...]
    opens_before: timedelta
    late_after: timedelta
    minutes: int
    source: str
    asks: Mapping[str, Any] = field(default_factory=dict)
    when: Mapping[str, Any] = field(default_factory=dict)

    def follows(self, kind: str, facts: Mapping[str, Any]) -> bool:
        """Tell whether a ledger line is such an event."""
        rows = facts.get("rows", ())
        return kind == self.of and any(self.when.items() <= row.items() for row in rows)


follow_ups: Final = Socket[FollowUp]("follow-ups")
