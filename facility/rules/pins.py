"""What may be a PIN: short enough for wet hands, not among the first that anybody would try."""

import re
from typing import Final

SHAPE: Final = re.compile(r"[0-9]{4,8}")
_UPWARD: Final = "01234567890"


def fault_of(pin: str) -> str | None:
    """Return the sentence that says what to change, or None when it will do.

    Runs and repetitions are refused as NIST SP 800-63B advises for memorized secrets
    (section 5.1.1.2 of revision 3; from memory, unverified).
    """
    if not SHAPE.fullmatch(pin):
        return "Choose 4 to 8 figures."
    if len(set(pin)) == 1 or pin in _UPWARD or pin[::-1] in _UPWARD:
        return "Choose one that is neither a run such as 1234 nor one figure repeated."
    return None
