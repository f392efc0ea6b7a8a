"""The rules about deaths of a site: in force, and those shipped that it never had."""

from datetime import datetime

from facility.models import Site
from quarantine.models import HealthRule
from quarantine.rules.deaths_known import Rule
from quarantine.rules.health_defaults import DEFAULTS, EDITION, HealthDefault


def rules_in_force(site: Site, *, at: datetime) -> list[HealthRule]:
    """All, the unselected included, the most pressing first."""
    rows = HealthRule.objects.filter(site=site, period__contains=at)
    return list(rows.order_by("-is_on", "level", "code"))


def missing_rules(site: Site) -> list[HealthDefault]:
    known = set(HealthRule.objects.filter(site=site).values_list("code", flat=True))
    return [one for one in DEFAULTS if one.code not in known]


def selected(site: Site, *, at: datetime) -> list[Rule]:
    """The rules that call, as they are judged by; what was never set calls as shipped."""
    rows: list[HealthRule | HealthDefault] = [*rules_in_force(site, at=at), *missing_rules(site)]
    return [_rule(row) for row in rows if row.is_on]


def _rule(row: HealthRule | HealthDefault) -> Rule:
    edition = row.edition if isinstance(row, HealthRule) else EDITION
    parts = [row.source, edition, row.jurisdiction]
    return Rule(
        code=row.code,
        title=row.title,
        looks_for=row.looks_for,
        level=row.level,
        level_elsewhere=row.level_elsewhere,
        figures=row.figures,
        advice=row.advice,
        source=", ".join(part for part in parts if part),
    )
