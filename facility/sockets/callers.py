"""Who is to be told of an alert: written down in the alert's own transaction, sent later."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from facility.models import Alert
from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class Caller:
    """``call(alert, step, at)`` writes what is to be sent.

    ``step`` is ``raised`` or ``worse``, or else ``accepted`` or ``cleared``, which call nobody.
    """

    name: str
    call: Callable[[Alert, str, datetime], Any]


callers: Final = Socket[Caller]("callers of an alert")
