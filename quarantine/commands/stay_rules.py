"""Set how long animals must stay at a site, and what sets their clock back."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import models, transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person, Site
from facility.refusals import Refusal
from quarantine.models import LifeCycle, StayPolicy, StayRule
from quarantine.models.species import Species
from quarantine.queries.stay_rules import stay_policy_row
from quarantine.rules.stay_defaults import LIFE_CYCLES, POLICY, rules_for
from tanks.commands.finding import site_for
from tanks.commands.policies import SourceMissing
from tanks.models import Cycle


class StaysAdopted(Refusal):
    code = "stays-adopted"
    field = "site_id"


class StaysNotAdopted(Refusal):
    code = "stays-not-adopted"
    field = "site_id"


class DaysMissing(Refusal):
    code = "days-missing"
    field = "days"


class ChoiceUnknown(Refusal):
    code = "choice-unknown"

    def __init__(self, field: str) -> None:
        super().__init__("Choose one of the answers offered.")
        self.field = field


class FigureOffScale(Refusal):
    code = "figure-off-scale"

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptStayRules:
    """``id`` becomes the policy's; the ids of the other rows follow from it."""

    id: UUID
    site_id: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class SetStayRule:
    """``days`` for one purpose from now on; an empty group or kind of water is any.

    What was set for the same purpose, group, water and jurisdiction ends.
    """

    id: UUID
    site_id: UUID
    purpose: str
    group: str
    water_kind: str
    jurisdiction: str
    days: int
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetStayPolicy:
    """The whole policy anew, with where it comes from; it holds from now on."""

    id: UUID
    site_id: UUID
    on_treatment: str
    on_death: str
    on_pathogen: str
    quiet_days: int
    clear_days: int
    feeding_looks: int
    look_hours: int
    first_feed_percent: int
    clean_days: int
    source: str


@transaction.atomic(durable=True)
def adopt_stay_rules(command: AdoptStayRules, *, by: Person, at: datetime) -> StayPolicy:
    """Copy the shipped rules, policy and life cycles into rows of the site.

    Raises:
        NotFound, NotAllowed, StaysAdopted
    """
    site = site_for(by, command.site_id, deed="quarantine.adopt-stay-rules")
    if policy := StayPolicy.objects.filter(pk=command.id, site=site).first():
        return policy
    if stay_policy_row(site, at=at):
        raise StaysAdopted(f"{site.name} has rules for stays already; set them anew instead.")
    policy = StayPolicy.objects.create(id=command.id, **_owned(site), **asdict(POLICY))
    rows = [*_rules(command.id, site), *_cycles(command.id, site)]
    _record("quarantine.adopt-stay-rules", [policy, *rows], site, by=by, at=at)
    return policy


@transaction.atomic(durable=True)
def set_stay_rule(command: SetStayRule, *, by: Person, at: datetime) -> StayRule:
    """Replace one rule; those of other purposes and groups stay.

    Raises:
        NotFound, NotAllowed, IdTaken, StaysNotAdopted, ChoiceUnknown, DaysMissing, SourceMissing
    """
    site = site_for(by, command.site_id, deed="quarantine.set-stay-rule")
    columns = asdict(command) | {"source": command.source.strip(), "note": command.note.strip()}
    if rule := earlier(StayRule, command.id, columns):
        return rule
    _require_adopted(site, at)
    _require_rule(command)
    key = {name: columns[name] for name in ("purpose", "group", "water_kind", "jurisdiction")}
    ended = _end(StayRule.objects.filter(site=site, **key), at)
    rule = StayRule.objects.create(**columns, period=DateTimeTZRange(at, None))
    _record("quarantine.set-stay-rule", [rule, *ended], site, by=by, at=at)
    return rule


@transaction.atomic(durable=True)
def set_stay_policy(command: SetStayPolicy, *, by: Person, at: datetime) -> StayPolicy:
    """End the policy in force and put this one in its place.

    Raises:
        NotFound, NotAllowed, IdTaken, StaysNotAdopted, ChoiceUnknown, FigureOffScale,
        SourceMissing
    """
    site = site_for(by, command.site_id, deed="quarantine.set-stay-policy")
    columns = asdict(command) | {"source": command.source.strip()}
    if policy := earlier(StayPolicy, command.id, columns):
        return policy
    _require_adopted(site, at)
    _require_policy(command)
    ended = _end(StayPolicy.objects.filter(site=site), at)
    policy = StayPolicy.objects.create(
        **columns, jurisdiction=site.jurisdiction, period=DateTimeTZRange(at, None)
    )
    _record("quarantine.set-stay-policy", [policy, *ended], site, by=by, at=at)
    return policy


def _owned(site: Site) -> dict[str, Any]:
    return {"site": site, "period": DateTimeTZRange(None, None)}


def _rules(parent: UUID, site: Site) -> list[StayRule]:
    rows = [
        StayRule(id=uuid5(parent, f"rule {number}"), **_owned(site), **asdict(values))
        for number, values in enumerate(rules_for(site.jurisdiction))
    ]
    return StayRule.objects.bulk_create(rows)


def _cycles(parent: UUID, site: Site) -> list[LifeCycle]:
    rows = [
        LifeCycle(
            id=uuid5(parent, f"life cycle {number}"),
            **_owned(site),
            **asdict(values) | {"points": _points(values.points)},
        )
        for number, values in enumerate(LIFE_CYCLES)
    ]
    return LifeCycle.objects.bulk_create(rows)


def _points(points: Iterable[tuple[float, float]]) -> list[dict[str, float]]:
    return [{"temperature_c": celsius, "days": days} for celsius, days in points]


def _require_adopted(site: Site, at: datetime) -> None:
    if stay_policy_row(site, at=at) is None:
        raise StaysNotAdopted(f"{site.name} goes by the shipped rules; adopt them first.")


def _require_rule(command: SetStayRule) -> None:
    if command.purpose not in StayRule.Purpose.values:
        raise ChoiceUnknown("purpose")
    if command.group not in ("", *Species.Group.values):
        raise ChoiceUnknown("group")
    if command.water_kind not in ("", *Cycle.WaterKind.values):
        raise ChoiceUnknown("water_kind")
    if not 1 <= command.days <= _MOST_DAYS:
        raise DaysMissing(f"Write from 1 to {_MOST_DAYS} days.")
    if not command.source.strip():
        raise SourceMissing("Say where this figure comes from, or that it is common practice.")


_MOST_DAYS = 3650


def _require_policy(command: SetStayPolicy) -> None:
    for name in ("on_treatment", "on_death", "on_pathogen"):
        if getattr(command, name) not in StayPolicy.Effect.values:
            raise ChoiceUnknown(name)
    for name, (low, high) in _SCALES.items():
        if not low <= getattr(command, name) <= high:
            raise FigureOffScale(name, f"Write a whole number from {low} to {high}.")
    if not command.source.strip():
        raise SourceMissing("Say where these figures come from, or that it is common practice.")


_SCALES = {
    "quiet_days": (0, 365),
    "clear_days": (0, 365),
    "feeding_looks": (0, 30),
    "look_hours": (1, 336),
    "first_feed_percent": (1, 100),
    "clean_days": (1, 60),
}


def _end(rows: models.QuerySet[Any], at: datetime) -> list[Any]:
    ended = list(rows.filter(period__contains=at))
    for row in ended:
        row.period = DateTimeTZRange(row.period.lower, at)
        row.save(update_fields=["period"])
    return ended


def _record(
    kind: str, rows: Iterable[models.Model], site: Site, *, by: Person, at: datetime
) -> None:
    ledger.record(kind, rows, about=site, site=site, by=by, happened_at=at, recorded_at=at)
