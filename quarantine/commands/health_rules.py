"""Adopt the rules about deaths, and change one: its figures, its level, on or off."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from datetime import datetime
from typing import Any, Final
from uuid import UUID, uuid5

from django.db import transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person, Site
from facility.refusals import NotFound, Refusal
from quarantine.models import HealthRule
from quarantine.queries.health_rules import missing_rules
from quarantine.rules.health_defaults import EDITION, HealthDefault
from quarantine.rules.health_figures import unfit
from tanks.commands.finding import site_for


class HealthFigureUnfit(Refusal):
    code = "health-figure-unfit"

    def __init__(self, name: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = name


class HealthLevelUnfit(Refusal):
    code = "health-level-unfit"
    field = "level"


class HealthSourceMissing(Refusal):
    code = "health-source-missing"
    field = "source"


class HealthRuleEnded(Refusal):
    code = "health-rule-ended"
    field = "rule_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptHealthRules:
    """``id`` names the act; the rules' own ids follow from it."""

    id: UUID
    site_id: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class SetHealthRule:
    """``rule_id`` ends now and a rule ``id`` takes its place; ``figures`` holds what changes."""

    id: UUID
    rule_id: UUID
    level: int
    level_elsewhere: int
    is_on: bool
    source: str
    figures: dict[str, Any] = field(default_factory=dict)


@transaction.atomic(durable=True)
def adopt_health_rules(command: AdoptHealthRules, *, by: Person, at: datetime) -> list[HealthRule]:
    """Set from now on what the site never had; given again, there is nothing left to set.

    Raises:
        NotFound, NotAllowed
    """
    site = site_for(by, command.site_id, deed="quarantine.adopt-health-rules")
    wanted = [_row(one, command.id, site, at) for one in missing_rules(site)]
    rows = HealthRule.objects.bulk_create(wanted)
    if rows:
        _record("adopt-health-rules", rows, site, by=by, at=at, edition=EDITION)
    return rows


@transaction.atomic(durable=True)
def set_health_rule(command: SetHealthRule, *, by: Person, at: datetime) -> HealthRule:
    """Let a rule go on otherwise from now on.

    Raises:
        NotFound, NotAllowed, IdTaken, HealthRuleEnded, HealthLevelUnfit, HealthSourceMissing,
        HealthFigureUnfit
    """
    old = HealthRule.objects.filter(pk=command.rule_id).first()
    if old is None:
        raise NotFound("There is no such rule here.")
    site = site_for(by, old.site_id, deed="quarantine.set-health-rule")
    old.refresh_from_db()
    told = _told(command, old)
    if row := earlier(HealthRule, command.id, told):
        return row
    _require_sound(command, old)
    old.period = DateTimeTZRange(old.period.lower, at)
    old.save(update_fields=["period"])
    kept = {name: getattr(old, name) for name in _KEPT}
    period = DateTimeTZRange(at, None)
    row = HealthRule.objects.create(id=command.id, period=period, **kept, **told)
    _record("set-health-rule", [row, old], site, by=by, at=at)
    return row


_KEPT: Final = ("title", "looks_for", "advice", "jurisdiction")


def _row(one: HealthDefault, adoption: UUID, site: Site, at: datetime) -> HealthRule:
    return HealthRule(
        id=uuid5(adoption, one.code),
        site=site,
        period=DateTimeTZRange(at, None),
        edition=EDITION,
        **asdict(one),
    )


def _told(command: SetHealthRule, old: HealthRule) -> dict[str, Any]:
    return {
        "site_id": old.site_id,
        "code": old.code,
        "level": command.level,
        "level_elsewhere": command.level_elsewhere,
        "is_on": command.is_on,
        "source": command.source.strip(),
        "figures": dict(old.figures) | dict(command.figures),
    }


def _require_sound(command: SetHealthRule, old: HealthRule) -> None:
    if old.period.upper is not None:
        raise HealthRuleEnded(f"“{old.title}” was changed before; open the page again.")
    if not {command.level, command.level_elsewhere} <= {1, 2, 3}:
        raise HealthLevelUnfit("Give level 1 (act now), 2 (today) or 3 (watch).")
    if not command.source.strip():
        raise HealthSourceMissing("Say where these figures come from.")
    for name, sentence in unfit(old.figures, command.figures):
        raise HealthFigureUnfit(name, sentence)


def _record(
    verb: str, rows: Iterable[HealthRule], site: Site, *, by: Person, at: datetime, **more: str
) -> None:
    ledger.record(
        f"quarantine.{verb}",
        list(rows),
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
        **more,
    )
