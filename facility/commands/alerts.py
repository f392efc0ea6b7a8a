"""Raise an alert, accept it, clear it with a cause."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import models, transaction

from facility.commands import ledger
from facility.commands.deliveries import take_turn
from facility.models import Alert, Person, Sign, Site
from facility.queries import alerts as known
from facility.queries import people
from facility.queries.answering import who_answers
from facility.refusals import NotFound, Refusal
from facility.rules.alerts import ACT_NOW, CAUSES, PUSHED, Seen, Turn, turn, unexplained
from facility.sockets.callers import callers


class ClearedBefore(Refusal):
    code = "cleared-before"
    field = "alert_id"


class CauseMissing(Refusal):
    code = "cause-missing"
    field = "cause"


class ActMissing(Refusal):
    code = "act-missing"
    field = "act"


@dataclass(frozen=True, slots=True, kw_only=True)
class RaiseAlert:
    """Everything seen about one subject now; ``id`` is the alert's if it is the first of it."""

    id: UUID
    site_id: UUID
    about: str
    name: str
    url: str
    area_id: UUID | None
    signs: tuple[Seen, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptAlert:
    """Somebody sees to it; ``act`` says how, if they know already."""

    alert_id: UUID
    act: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClearAlert:
    """``cause`` is a code of the house's list; ``act`` must be told where action was needed."""

    alert_id: UUID
    cause: str
    cause_note: str = ""
    action_needed: bool
    act: str = ""


@transaction.atomic(durable=True)
def raise_alert(command: RaiseAlert, *, by: Person | None, at: datetime) -> Alert | None:
    """Bring the subject's alert up to what is seen now; the same again changes nothing.

    A new sign on a subject without an alert raises one and calls its owner. Signs that are no
    longer seen have passed, but the alert stands until a person clears it. What a person has
    just given a cause for is not raised again from the same rows.
    """
    site = Site.objects.get(pk=command.site_id)
    take_turn(site)
    alert = next(iter(known.standing_at(site, abouts=[command.about])), None)
    signs = {} if alert is None else {sign.rule: sign for sign in known.signs_now(alert)}
    causes = known.lately_cleared(site, command.about, at=at)
    seen = unexplained(command.signs, causes, at=at)
    change = turn({rule: known.seen_of(sign) for rule, sign in signs.items()}, seen)
    if alert is None and not change.new:
        return None
    alert, is_worse = alert or _new(command, site, change, at), False
    if not change.is_nothing:
        rows = _turned(alert, signs, change, at)
        is_worse = _weigh(alert)
        _record("raise-alert", alert, rows, by=by, at=at)
    _call(alert, is_worse=is_worse, at=at)
    return alert


@transaction.atomic(durable=True)
def accept_alert(command: AcceptAlert, *, by: Person, at: datetime) -> Alert:
    """Say that one sees to it; nobody else is called any more. Another person may take it over.

    Raises:
        NotFound, NotAllowed, ClearedBefore
    """
    alert = _standing_for(by, command.alert_id, deed="facility.accept-alert")
    act = command.act.strip()
    if alert.accepted_by_id == by.pk and (not act or act == alert.act):
        return alert
    if alert.cleared_at is not None:
        raise ClearedBefore(f"{alert.name} has been cleared already.")
    alert.accepted_at, alert.accepted_by = at, by
    alert.act = act or alert.act
    alert.save(update_fields=["accepted_at", "accepted_by", "act"])
    _tell(alert, "accepted", at=at)
    _record("accept-alert", alert, [], by=by, at=at)
    return alert


@transaction.atomic(durable=True)
def clear_alert(command: ClearAlert, *, by: Person, at: datetime) -> Alert:
    """End an alert with its cause, and whether anything had to be done.

    Raises:
        NotFound, NotAllowed, ClearedBefore, CauseMissing, ActMissing
    """
    alert = _standing_for(by, command.alert_id, deed="facility.clear-alert")
    told = _told(command, alert)
    if alert.cleared_at is not None:
        if alert.cleared_by_id == by.pk and all(
            getattr(alert, name) == value for name, value in told.items()
        ):
            return alert
        raise ClearedBefore(f"{alert.name} has been cleared already.")
    _require_told(told)
    alert.cleared_at, alert.cleared_by = at, by
    for name, value in told.items():
        setattr(alert, name, value)
    alert.save(update_fields=["cleared_at", "cleared_by", *told])
    _tell(alert, "cleared", at=at)
    _record("clear-alert", alert, [], by=by, at=at)
    return alert


def _new(command: RaiseAlert, site: Site, change: Turn, at: datetime) -> Alert:
    answering = who_answers(site, area=command.area_id, at=at)
    return Alert.objects.create(
        id=command.id,
        site=site,
        area_id=command.area_id,
        about=command.about,
        name=command.name,
        url=command.url,
        level=min(sign.level for sign in change.new),
        raised_at=at,
        owner=answering.owner,
        backup=answering.backup,
    )


def _turned(alert: Alert, signs: dict[str, Sign], change: Turn, at: datetime) -> list[Sign]:
    """Write the signs that begin, go on otherwise, or have passed."""
    begun = [_sign(alert, seen, at) for seen in change.new]
    Sign.objects.bulk_create(begun)
    going_on = [_reworded(signs[seen.rule], seen) for seen in change.again]
    gone = _passed((signs[rule] for rule in change.gone), at)
    return [*begun, *going_on, *gone]


def _sign(alert: Alert, seen: Seen, at: datetime) -> Sign:
    return _filled(Sign(alert=alert, rule=seen.rule, seen_at=at), seen)


def _reworded(sign: Sign, seen: Seen) -> Sign:
    _filled(sign, seen).save(update_fields=["level", "sentence", "advice", "source", "evidence"])
    return sign


def _filled(sign: Sign, seen: Seen) -> Sign:
    sign.level, sign.sentence = seen.level, seen.sentence
    sign.advice, sign.source, sign.evidence = seen.advice, seen.source, list(seen.evidence)
    return sign


def _passed(signs: Iterable[Sign], at: datetime) -> list[Sign]:
    rows = list(signs)
    for row in rows:
        row.passed_at = at
        row.save(update_fields=["passed_at"])
    return rows


def _weigh(alert: Alert) -> bool:
    """Give the alert the level of its most pressing sign; a worse one must be accepted anew.

    Returns whether it became worse.
    """
    standing = Sign.objects.filter(alert=alert, passed_at=None)
    before, worst = alert.level, standing.aggregate(worst=models.Min("level"))["worst"]
    if worst is None or worst == before:
        return False
    alert.level = worst
    if worst < before:
        alert.accepted_at, alert.accepted_by = None, None
        alert.escalated_at, alert.escalations = None, 0
    alert.save(update_fields=["level", "accepted_at", "accepted_by", "escalated_at", "escalations"])
    return bool(worst < before)


def _call(alert: Alert, *, is_worse: bool, at: datetime) -> None:
    """Call for what nobody was called about yet; what planned work explains waits for its end."""
    if alert.level not in PUSHED or alert.accepted_at is not None:
        return
    if alert.level != ACT_NOW and known.maintenance_of(known.around(alert, at=at), at=at):
        return
    is_seen = alert.signs.filter(passed_at=None).exists()
    if is_worse or (is_seen and not alert.notices.exists()):
        _tell(alert, "worse" if is_worse else "raised", at=at)


def _tell(alert: Alert, step: str, *, at: datetime) -> None:
    for caller in callers:
        caller.call(alert, step, at)


def _standing_for(by: Person, alert_id: UUID, *, deed: str) -> Alert:
    alert = Alert.objects.open_to(by).select_related("site").filter(pk=alert_id).first()
    if alert is None:
        raise NotFound("There is no such alert here.")
    people.require(by, deed, alert.site)
    take_turn(alert.site)
    return Alert.objects.select_related("site").get(pk=alert_id)


def _told(command: ClearAlert, alert: Alert) -> dict[str, str | bool]:
    return {
        "cause": command.cause,
        "cause_note": command.cause_note.strip(),
        "action_needed": command.action_needed,
        "act": command.act.strip() or alert.act,
    }


def _require_told(told: dict[str, str | bool]) -> None:
    if told["cause"] not in CAUSES:
        raise CauseMissing("Choose the cause, or say that you looked and did not find it.")
    if told["action_needed"] and not told["act"]:
        raise ActMissing("Say what was done about it.")


def _record(
    verb: str, alert: Alert, rows: Iterable[Sign], *, by: Person | None, at: datetime
) -> None:
    ledger.record(
        f"facility.{verb}",
        [alert, *rows],
        about=alert,
        site=alert.site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
