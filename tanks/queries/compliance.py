"""The content of a month's report: the limits, what broke them, what was done and what was not."""

from datetime import datetime

from facility.models import Site
from facility.rules.canonical import plain
from facility.rules.periods import Period
from tanks.models import Limit
from tanks.queries.meanings import bound_of
from tanks.queries.periods import Content, Past
from tanks.queries.policies import policy_at
from tanks.queries.tests_due import tests_due
from tanks.queries.weeks import coverage_told
from tanks.rules.limits import NAMES


def month(site: Site, period: Period) -> Content:
    """As the facts about that month stand now, told as of its end."""
    past = Past(site=site, period=period)
    return {
        **past.head(),
        "limits": _limits(past),
        "policy": _policy(past),
        "exceedances": past.told(),
        "tests": tests_due(past),
        "coverage": coverage_told(past),
        "unread": _unread(past),
        "samples": sum(len({one.sample for one in rows}) for rows in past.readings.values()),
        "readings": sum(map(len, past.readings.values())),
    }


def _limits(past: Past) -> list[Content]:
    """Every limit in force at some time of the month, with the days it was not for all of it."""
    rows = Limit.objects.filter(site=past.site, period__overlap=past.span)
    return [
        {
            "parameter": NAMES[row.parameter],
            "water_kind": row.water_kind,
            "stage": row.get_stage_display(),
            "range": _range(row),
            "level": row.level,
            "source": row.source,
            "edition": row.edition,
            "jurisdiction": row.jurisdiction,
            "verified_on": plain(row.verified_on),
            "verified_by": row.verified_by,
            "since": _within(row.period.lower, past),
            "until": _within(row.period.upper, past),
        }
        for row in rows.order_by("water_kind", "stage", "parameter", "level", "pk")
    ]


def _range(row: Limit) -> str:
    text = bound_of(row).text
    if row.low is None:
        return f"at most {text}"
    return f"at least {text}" if row.high is None else text


def _within(moment: datetime | None, past: Past) -> str | None:
    """A turn inside the month; what lies outside says nothing about it."""
    return str(plain(moment)) if moment and past.begin < moment < past.end else None


def _policy(past: Past) -> Content | None:
    row = policy_at(past.site, at=past.last)
    if row is None:
        return None
    return {
        "source": row.source,
        "edition": row.edition,
        "verified_on": plain(row.verified_on),
        "verified_by": row.verified_by,
    }


def _unread(past: Past) -> list[str]:
    """Waters that stood at the end and were not read all month."""
    return [str(water.anchor.pk) for water in past.waters if water.anchor not in past.readings]
