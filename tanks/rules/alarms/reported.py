"""What somebody reported or turned off, and the water needs somebody now. Pure."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Final

from facility.rules.alerts import TODAY, Seen
from facility.rules.wording import age
from tanks.rules.alarms.known import Known, Report, Rule

CALLED: Final = {
    "incident:POWER_LOSS": "power or flow lost",
    "walk:FLOW": "flow or air weak or stopped, seen on a walk",
    "walk:LEVEL": "level low, leak or overflow, seen on a walk",
    "off:PUMP": "a pump off",
    "off:AIR": "the air supply off",
    "off:BIOFILTER": "a biofilter off",
}
# What stays off is said again half a day after a person gave its cause.
_AGAIN_H: Final = 12


def reported(rule: Rule, known: Known) -> Iterator[Seen]:
    """Yield each report of the rule's kinds; what is over by now is a matter of today."""
    for report in known.reports:
        if report.kind in rule.words("reports") and _counts(rule, report, known.at):
            is_over = report.until is not None
            yield rule.sees(
                f"{report.told}, {age(report.at, now=known.at)}.",
                (report.key,),
                level=max(rule.level, TODAY) if is_over else rule.level,
                of=report.key.rpartition(":")[2],
                again_after_hours=_AGAIN_H if report.goes_on else None,
            )


def _counts(rule: Rule, report: Report, at: datetime) -> bool:
    """It has lasted long enough, and goes on or was not long ago."""
    lasts = at - report.at >= timedelta(minutes=rule.number("after_minutes"))
    is_lately = at - (report.until or report.at) <= rule.hours("hours", 24)
    return lasts and (report.goes_on or is_lately)
