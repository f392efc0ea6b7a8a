"""How long animals must stay at a site: its own rows, or the shipped ones until it has any."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet

from facility.models import Site
from quarantine.models import LifeCycle, StayPolicy, StayRule
from quarantine.rules.stay_defaults import LIFE_CYCLES, POLICY, rules_for
from quarantine.rules.stays import CycleValues, PolicyValues, RuleValues


@dataclass(frozen=True, slots=True, kw_only=True)
class StayRules:
    """What holds at a moment; ``is_adopted`` is False while the shipped figures stand in."""

    rules: tuple[RuleValues, ...]
    policy: PolicyValues
    cycles: tuple[CycleValues, ...]
    is_adopted: bool


def stay_rules_at(site: Site, *, at: datetime) -> StayRules:
    """Return what holds; a site that never set any goes by what is shipped."""
    policy = stay_policy_row(site, at=at)
    if policy is None:
        rules = tuple(rules_for(site.jurisdiction))
        return StayRules(rules=rules, policy=POLICY, cycles=LIFE_CYCLES, is_adopted=False)
    return StayRules(
        rules=tuple(_rule(row) for row in stay_rule_rows(site, at=at)),
        policy=_policy(policy),
        cycles=tuple(_cycle(row) for row in life_cycle_rows(site, at=at)),
        is_adopted=True,
    )


def stay_policy_row(site: Site, *, at: datetime) -> StayPolicy | None:
    return StayPolicy.objects.filter(site=site, period__contains=at).first()


def stay_rule_rows(site: Site, *, at: datetime) -> QuerySet[StayRule]:
    rows = StayRule.objects.filter(site=site, period__contains=at)
    return rows.order_by("purpose", "group", "water_kind", "jurisdiction", "pk")


def life_cycle_rows(site: Site, *, at: datetime) -> QuerySet[LifeCycle]:
    rows = LifeCycle.objects.filter(site=site, period__contains=at)
    return rows.order_by("water_kind", "agent", "pk")


def _rule(row: StayRule) -> RuleValues:
    return RuleValues(
        purpose=row.purpose,
        days=row.days,
        group=row.group,
        water_kind=row.water_kind,
        note=row.note,
        source=row.source,
        edition=row.edition,
        jurisdiction=row.jurisdiction,
        verified_on=row.verified_on,
        verified_by=row.verified_by,
    )


def _policy(row: StayPolicy) -> PolicyValues:
    return PolicyValues(**{name: getattr(row, name) for name in PolicyValues.__dataclass_fields__})


def _cycle(row: LifeCycle) -> CycleValues:
    return CycleValues(
        agent=row.agent,
        water_kind=row.water_kind,
        points=tuple((float(one["temperature_c"]), float(one["days"])) for one in row.points),
        cycles=row.cycles,
        note=row.note,
        source=row.source,
        edition=row.edition,
        jurisdiction=row.jurisdiction,
        verified_on=row.verified_on,
        verified_by=row.verified_by,
    )
