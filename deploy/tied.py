"""A child that does not outlive us, even when we are killed outright (Linux only)."""

import ctypes
import signal
import sys
from collections.abc import Callable

_PR_SET_PDEATHSIG = 1


def signalled_when_parent_dies(number: signal.Signals) -> Callable[[], None] | None:
    """A ``preexec_fn`` that asks the kernel for ``number`` on our death; None elsewhere."""
    if not sys.platform.startswith("linux"):
        return None
    control = ctypes.CDLL(None, use_errno=True).prctl

    def ask() -> None:
        control(_PR_SET_PDEATHSIG, int(number))

    return ask
