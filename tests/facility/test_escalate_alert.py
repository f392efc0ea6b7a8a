"""Who is called, and who next when nobody accepts."""

from datetime import datetime, timedelta
from typing import Final
from uuid import uuid4

import pytest
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility import jobs
from facility.commands.alerts import AcceptAlert, accept_alert
from facility.commands.escalation import EscalateAlert, escalate_alert
from facility.commands.maintenance import SetMaintenance, set_maintenance
from facility.models import Alert, Entry, Notice, Person, Shift
from facility.queries.proof import first_breach
from tests.cast import NOON, House
from tests.facility.alerting import a_sign, cleared, raised, told_of
from tests.facility.calling import reached, received_at

MINUTE: Final = timedelta(minutes=1)
HOUR: Final = timedelta(hours=1)


def _on(house: House, person: Person, *, hours: int = 6, is_on_call: bool = False) -> None:
    Shift.objects.create(
        site=house.site,
        person=person,
        period=DateTimeTZRange(NOON - HOUR, NOON + hours * HOUR),
        is_on_call=is_on_call,
    )


def _staffed(house: House) -> None:
    """Ana owns what comes up, Vera is no keeper, Mo stands behind; all can be reached."""
    _on(house, house.ana)
    for person in (house.ana, house.mo):
        reached(house, person)


def _told(alert: Alert) -> list[tuple[str, str]]:
    rows = Notice.objects.filter(alert=alert).order_by("made_at", "channel__person__username")
    return [(row.step, row.channel.person.username if row.channel.person else "") for row in rows]


def _escalated(alert: Alert, *, at: datetime) -> Alert | None:
    return escalate_alert(EscalateAlert(alert_id=alert.pk), by=None, at=at)


def test_the_owner_is_called_in_the_alerts_own_transaction(house: House) -> None:
    _staffed(house)

    alert = raised(house, a_sign(level=1))

    assert _told(alert) == [("raised", "ana")]
    notice = Notice.objects.get()
    assert notice.next_try_at == NOON
    assert notice.text.startswith("Act now: A-01. TAN 0.5 mg/L as N is above")


def test_after_ten_minutes_the_backup_then_all_again(house: House) -> None:
    _staffed(house)
    alert = raised(house, a_sign(level=1))

    assert _escalated(alert, at=NOON + 9 * MINUTE) is None
    assert _escalated(alert, at=NOON + 10 * MINUTE) is not None
    assert _escalated(alert, at=NOON + 10 * MINUTE) is None
    _escalated(alert, at=NOON + 20 * MINUTE)
    _escalated(alert, at=NOON + 50 * MINUTE)

    assert _told(alert) == [
        ("raised", "ana"),
        ("escalated", "mo"),
        ("escalated", "mo"),
        ("reminded", "ana"),
        ("reminded", "mo"),
    ]
    assert Entry.objects.filter(kind="facility.escalate-alert").count() == 3
    assert first_breach(house.site) is None


def test_nobody_is_called_once_somebody_has_accepted(house: House) -> None:
    _staffed(house)
    alert = raised(house, a_sign(level=1))
    accept_alert(AcceptAlert(alert_id=alert.pk), by=house.ana, at=NOON + MINUTE)

    assert _escalated(alert, at=NOON + HOUR) is None


def test_a_worse_one_is_called_anew_from_the_owner_on(house: House) -> None:
    _staffed(house)
    alert = raised(house)
    accept_alert(AcceptAlert(alert_id=alert.pk), by=house.ana, at=NOON + MINUTE)

    raised(house, a_sign(level=1), at=NOON + HOUR)

    assert _told(alert) == [("raised", "ana"), ("worse", "ana")]
    assert _escalated(alert, at=NOON + HOUR + 9 * MINUTE) is None
    assert _escalated(alert, at=NOON + HOUR + 10 * MINUTE) is not None


def test_what_is_due_today_waits_for_the_end_of_the_shift_and_calls_once(house: House) -> None:
    _staffed(house)
    alert = raised(house)

    assert _escalated(alert, at=NOON + 5 * HOUR) is None
    assert _escalated(alert, at=NOON + 6 * HOUR) is not None
    assert _escalated(alert, at=NOON + 24 * HOUR) is None
    assert _told(alert) == [("raised", "ana"), ("escalated", "mo")]


def test_who_cannot_be_reached_is_passed_over(house: House) -> None:
    _on(house, house.ana)
    reached(house, house.mo)

    assert _told(raised(house, a_sign(level=1))) == [("raised", "mo")]


def test_who_asks_only_for_what_needs_action_now_is_left_alone_by_the_rest(house: House) -> None:
    _on(house, house.ana)
    reached(house, house.ana, up_to_level=1)

    assert _told(raised(house)) == []


def test_without_channels_the_escalation_is_still_on_record(house: House) -> None:
    alert = raised(house, a_sign(level=1))

    _escalated(alert, at=NOON + HOUR)

    alert.refresh_from_db()
    assert (alert.escalations, alert.escalated_at) == (1, NOON + HOUR)


@pytest.mark.parametrize(("level", "calls"), [(1, 1), (2, 0)])
def test_planned_work_keeps_quiet_all_but_what_needs_action_now(
    house: House, level: int, calls: int
) -> None:
    _staffed(house)
    about = told_of(house).about
    set_maintenance(
        SetMaintenance(
            id=uuid4(), about=about, why="Work", begins_at=NOON, ends_at=NOON + 9 * HOUR
        ),
        by=house.mo,
        at=NOON,
    )

    alert = raised(house, a_sign(level=level))
    escalated = _escalated(alert, at=NOON + 8 * HOUR)

    assert len([step for step, _ in _told(alert) if step == "raised"]) == calls
    assert (escalated is not None) == bool(calls)


def test_a_sixth_call_of_a_shift_is_held_back_and_says_so(house: House) -> None:
    _staffed(house)
    for half in range(7):
        at = NOON + half * HOUR / 2
        cleared(house, raised(house, a_sign(evidence=(f"tanks.reading:{half}",)), at=at), at=at)

    held = Notice.objects.exclude(given_up_at=None)
    assert Notice.objects.filter(given_up_at=None).count() == 5
    assert held.count() == 2
    assert all("stands on the list" in notice.last_fault for notice in held)


def test_what_needs_action_now_is_never_held_back(house: House) -> None:
    _staffed(house)
    for hour in range(8):
        sign = a_sign(level=1, evidence=(f"tanks.reading:{hour}",))
        cleared(house, raised(house, sign, at=NOON), at=NOON)

    assert Notice.objects.filter(given_up_at=None).count() == 8


def test_machines_hear_all_of_it_in_order(house: House) -> None:
    received_at(house, "https://example.org/")
    alert = raised(house, a_sign(level=1))
    _escalated(alert, at=NOON + 10 * MINUTE)
    accept_alert(AcceptAlert(alert_id=alert.pk), by=house.ana, at=NOON + 11 * MINUTE)
    cleared(house, alert, at=NOON + 12 * MINUTE)

    told = list(Notice.objects.order_by("made_at").values_list("step", flat=True))
    assert told == ["raised", "escalated", "accepted", "cleared"]
    assert Notice.objects.get(step="accepted").text == "A-01: accepted by Ana Quill."


def test_the_clock_calls_the_next(house: House) -> None:
    _staffed(house)
    alert = raised(house, a_sign(level=1))

    jobs.escalate_alerts()
    jobs.escalate_alerts()

    alert.refresh_from_db()
    assert alert.escalations == 1
