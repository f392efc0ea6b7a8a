"""The recurrences people say in words, as rules of RFC 5545. Pure."""

from collections.abc import Iterable
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
    by_day = parts.get("BYDAY", "")
    if rule == "FREQ=DAILY":
        return "every day"
    if rule == composed("WEEKDAYS", days=(), every=1, day_of_month=1, own=""):
        return "Monday to Friday"
    if rule == f"FREQ=WEEKLY;BYDAY={by_day}":
        names = dict(DAYS)
        return "weekly on " + ", ".join(names.get(code, code) for code in by_day.split(","))
    if rule == f"FREQ=DAILY;INTERVAL={parts.get('INTERVAL')}":
        return f"every {parts['INTERVAL']} days"
    if rule == f"FREQ=MONTHLY;BYMONTHDAY={parts.get('BYMONTHDAY')}":
        return f"monthly on day {parts['BYMONTHDAY']}"
    return rule
