"""The recurrences people say in words, as rules of RFC 5545. Pure."""

from collections.abc import Callable, Iterable, Mapping
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


def told(rule: str) -> str:
    """Say a rule in words where it is one of the patterns, else return it as it is."""
    parts = dict(part.partition("=")[::2] for part in rule.split(";"))
    for shape, words in _WORDS:
        if rule == shape.format(**_BLANKS | parts):
            return words(parts)
    return rule


def _named(days: str) -> str:
    names = dict(DAYS)
    return ", ".join(names.get(code, code) for code in days.split(","))


def _hours(hours: str) -> str:
    return ", ".join(hour.zfill(2) for hour in hours.split(","))


_BLANKS: Final = dict.fromkeys(("BYDAY", "BYHOUR", "INTERVAL", "BYMONTHDAY"), "")
# In this order: the first shape a rule has says it.
_WORDS: Final[tuple[tuple[str, Callable[[Mapping[str, str]], str]], ...]] = (
    ("FREQ=DAILY", lambda _: "every day"),
    ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", lambda _: "Monday to Friday"),
    ("FREQ=DAILY;BYHOUR={BYHOUR}", lambda parts: f"daily in the hours {_hours(parts['BYHOUR'])}"),
    ("FREQ=WEEKLY;BYDAY={BYDAY}", lambda parts: f"weekly on {_named(parts['BYDAY'])}"),
    ("FREQ=DAILY;INTERVAL={INTERVAL}", lambda parts: f"every {parts['INTERVAL']} days"),
    ("FREQ=WEEKLY;INTERVAL={INTERVAL}", lambda parts: f"every {parts['INTERVAL']} weeks"),
    ("FREQ=MONTHLY;BYMONTHDAY={BYMONTHDAY}", lambda parts: f"monthly on day {parts['BYMONTHDAY']}"),
)
