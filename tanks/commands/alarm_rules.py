"""Change the figures of an alarm rule, or end it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person
from facility.refusals import NotFound, Refusal
from tanks.commands.finding import site_for
from tanks.models import AlarmRule
from tanks.rules.alarms.figures import Unfit, unfit


class FigureUnfit(Refusal):
    """A figure is unknown to the rule or off its scale; ``field`` says which."""

    code = "figure-unfit"

    def __init__(self, fault: Unfit) -> None:
        super().__init__(fault.sentence)
        self.field = fault.name


class LevelOffScale(Refusal):
    code = "level-off-scale"
    field = "level"


class SourceMissing(Refusal):
    code = "source-missing"
    field = "source"


class RuleEnded(Refusal):
    code = "rule-ended"
    field = "rule_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAlarmRule:
    """``rule_id`` ends now; unless ``ends``, a rule ``id`` takes its place with other figures.

    ``figures`` holds only what changes. The rule's lists, such as a feeding ladder, stay.
    """

    id: UUID
    rule_id: UUID
    level: int
    source: str
    advice: str = ""
    figures: dict[str, Any] = field(default_factory=dict)
    ends: bool = False


@transaction.atomic(durable=True)
def set_alarm_rule(command: SetAlarmRule, *, by: Person, at: datetime) -> AlarmRule:
    """Let a rule go on with other figures from now on, or end it.

    Raises:
        NotFound, NotAllowed, IdTaken, RuleEnded, LevelOffScale, SourceMissing, FigureUnfit
    """
    old = AlarmRule.objects.filter(pk=command.rule_id).first()
    if old is None:
        raise NotFound("There is no such rule here.")
    site = site_for(by, old.site_id, deed="tanks.set-alarm-rule")
    old.refresh_from_db()
    if row := _delivered(command, old):
        return row
    _require_sound(command, old, at=at)
    old.period = DateTimeTZRange(old.period.lower, at)
    old.save(update_fields=["period"])
    row = old if command.ends else _follower(command, old, at)
    ledger.record(
        "tanks.set-alarm-rule",
        [row] if command.ends else [row, old],
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return row


def _delivered(command: SetAlarmRule, old: AlarmRule) -> AlarmRule | None:
    """What an earlier delivery of the same command left."""
    if command.ends:
        return old if old.period.upper is not None and not _was_replaced(old) else None
    told = {
        "level": command.level,
        "source": command.source.strip(),
        "advice": command.advice.strip() or old.advice,
        "figures": _figures(command, old.figures),
        "site_id": old.site_id,
        "code": old.code,
    }
    return earlier(AlarmRule, command.id, told)


def _was_replaced(old: AlarmRule) -> bool:
    begun = {"period__startswith": old.period.upper}
    return AlarmRule.objects.filter(site=old.site_id, code=old.code, **begun).exists()


def _require_sound(command: SetAlarmRule, old: AlarmRule, *, at: datetime) -> None:
    if old.period.upper is not None and old.period.upper <= at:
        raise RuleEnded(f"“{old.title}” was changed or ended before; open the page again.")
    if command.ends:
        return
    if command.level not in {1, 2, 3}:
        raise LevelOffScale("Give level 1 (act now), 2 (today) or 3 (watch).")
    if not command.source.strip():
        raise SourceMissing("Say where these figures come from, or that it is common practice.")
    for fault in unfit(old.figures, command.figures, parameter=old.parameter):
        raise FigureUnfit(fault)


def _follower(command: SetAlarmRule, old: AlarmRule, at: datetime) -> AlarmRule:
    return AlarmRule.objects.create(
        id=command.id,
        site_id=old.site_id,
        code=old.code,
        title=old.title,
        looks_for=old.looks_for,
        parameter=old.parameter,
        water_kind=old.water_kind,
        stage=old.stage,
        level=command.level,
        figures=_figures(command, old.figures),
        advice=command.advice.strip() or old.advice,
        source=command.source.strip(),
        jurisdiction=old.jurisdiction,
        period=DateTimeTZRange(at, None),
    )


def _figures(command: SetAlarmRule, old: Mapping[str, Any]) -> dict[str, Any]:
    return dict(old) | dict(command.figures)
