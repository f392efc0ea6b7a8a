"""The recurrences people say in words, as rules of RFC 5545. Pure."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import time
from typing import Final

PATTERNS: Final = (
    ("DAILY", "Every day"),
    ("WEEKDAYS", "Monday to Friday"),
    ("WEEKLY", "Weekly on …"),
    ("EVERY", "Every so many days"),
    ("MONTHLY", "Monthly"),
    ("OWN", "By the rule"),
)
DAYS: Final = (
    ("MO", "Mon"),
    ("TU", "Tue"),
    ("WE", "Wed"),
    ("TH", "Thu"),
    ("FR", "Fri"),
    ("SA", "Sat"),
    ("SU", "Sun"),
)
_LAST_IN_EVERY_MONTH: Final = 28


def composed(pattern: str, *, days: Iterable[str], every: int, day_of_month: int, own: str) -> str:
    """Return the rule of a pattern; ``own`` is the rule where the pattern is the rule itself.

    A day that some months lack is the last of theirs.
    """
    ordered = [code for code, _ in DAYS if code in set(days)]
    last = day_of_month > _LAST_IN_EVERY_MONTH
    ends = ",".join(str(day) for day in range(_LAST_IN_EVERY_MONTH, day_of_month + 1))
    rules = {
        "DAILY": "FREQ=DAILY",
        "WEEKDAYS": "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR",
        "WEEKLY": f"FREQ=WEEKLY;BYDAY={','.join(ordered)}",
        "EVERY": f"FREQ=DAILY;INTERVAL={every}",
        "MONTHLY": f"FREQ=MONTHLY;BYMONTHDAY={ends};BYSETPOS=-1"
        if last
        else f"FREQ=MONTHLY;BYMONTHDAY={day_of_month}",
    }
    return rules.get(pattern, own)


def told(rule: str, at: time) -> str:
    """Say when a rule's turns come, in words where it has a common shape, else as it is."""
    parts = dict(part.partition("=")[::2] for part in rule.split(";"))
    hours = parts.pop("BYHOUR", "")
    shape = ";".join(f"{name}={value}" for name, value in parts.items())
    clocks = [f"{hour.zfill(2)}:{at:%M}" for hour in hours.split(",")] if hours else [f"{at:%H:%M}"]
    return f"{_days(shape, parts)} at {_listed(clocks)}"


def _days(shape: str, parts: Mapping[str, str]) -> str:
    blanks = {name: parts.get(name, "") for name in ("BYDAY", "INTERVAL", "BYMONTHDAY")}
    for common, words in _WORDS:
        if shape == common.format(**blanks):
            return words(blanks)
    return shape


def _named(days: str) -> str:
    """Mon, Thu; and of a month, first Mon, last Fri."""
    names = dict(DAYS)
    nths = {"1": "first ", "2": "second ", "3": "third ", "4": "fourth ", "-1": "last ", "": ""}
    split = ((day[:-2], day[-2:]) for day in days.split(","))
    return ", ".join(f"{nths.get(nth, nth + '. ')}{names.get(code, code)}" for nth, code in split)


def _listed(clocks: Sequence[str]) -> str:
    *most, final = clocks
    return f"{', '.join(most)} and {final}" if most else final


# In this order: the first shape a rule has says it.
_WORDS: Final[tuple[tuple[str, Callable[[Mapping[str, str]], str]], ...]] = (
    ("FREQ=DAILY", lambda _: "every day"),
    ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", lambda _: "Monday to Friday"),
    ("FREQ=WEEKLY;BYDAY={BYDAY}", lambda parts: f"weekly on {_named(parts['BYDAY'])}"),
    ("FREQ=DAILY;INTERVAL={INTERVAL}", lambda parts: f"every {parts['INTERVAL']} days"),
    ("FREQ=WEEKLY;INTERVAL={INTERVAL}", lambda parts: f"every {parts['INTERVAL']} weeks"),
    ("FREQ=MONTHLY;BYMONTHDAY={BYMONTHDAY}", lambda parts: f"monthly on day {parts['BYMONTHDAY']}"),
    ("FREQ=MONTHLY;BYDAY={BYDAY}", lambda parts: f"monthly on the {_named(parts['BYDAY'])}"),
)
