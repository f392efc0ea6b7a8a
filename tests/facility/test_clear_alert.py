"""Accepting and clearing: by whom, with which cause, once."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from facility.commands.alerts import (
    AcceptAlert,
    ActMissing,
    CauseMissing,
    ClearedBefore,
    accept_alert,
    clear_alert,
)
from facility.models import Alert, Entry
from facility.queries.proof import first_breach
from facility.refusals import NotAllowed, NotFound
from tests.cast import NOON, House
from tests.facility.alerting import cleared, clearing, raised

LATER = NOON + timedelta(hours=1)


def test_somebody_sees_to_it_and_says_how(house: House) -> None:
    alert = raised(house)

    accept_alert(AcceptAlert(alert_id=alert.pk, act="Feeding half"), by=house.ana, at=LATER)

    alert.refresh_from_db()
    assert (alert.accepted_by, alert.accepted_at, alert.act) == (house.ana, LATER, "Feeding half")
    assert first_breach(house.site) is None


def test_another_person_may_take_it_over(house: House) -> None:
    alert = raised(house)
    accept_alert(AcceptAlert(alert_id=alert.pk), by=house.ana, at=NOON)

    accept_alert(AcceptAlert(alert_id=alert.pk), by=house.mo, at=LATER)

    alert.refresh_from_db()
    assert alert.accepted_by == house.mo


def test_it_is_cleared_with_a_cause_and_what_was_done(house: House) -> None:
    alert = cleared(house, raised(house), at=LATER, cause_note="New lad fed twice")

    assert (alert.cause, alert.cleared_by, alert.cleared_at) == ("FEEDING", house.ana, LATER)
    assert (alert.action_needed, alert.act) == (True, "Fed half, changed 20 %.")
    line = Entry.objects.latest("pk")
    assert line.facts["rows"][0]["cause_note"] == "New lad fed twice"


def test_no_cause_no_end(house: House) -> None:
    alert = raised(house)

    for cause in ("", "WHATEVER"):
        with pytest.raises(CauseMissing, match="Choose the cause"):
            cleared(house, alert, cause=cause)

    assert Alert.objects.get().cleared_at is None


def test_where_action_was_needed_it_is_told(house: House) -> None:
    alert = raised(house)

    with pytest.raises(ActMissing):
        cleared(house, alert, act="  ")
    accept_alert(AcceptAlert(alert_id=alert.pk, act="Fed half"), by=house.ana, at=NOON)

    assert cleared(house, alert, act="").act == "Fed half"


def test_no_action_needs_no_telling(house: House) -> None:
    assert cleared(house, raised(house), action_needed=False, act="").action_needed is False


def test_cleared_twice_is_cleared_once_and_not_otherwise(house: House) -> None:
    alert = cleared(house, raised(house))

    assert cleared(house, alert, at=LATER).cleared_at == NOON
    with pytest.raises(ClearedBefore):
        cleared(house, alert, cause="DEATH")
    with pytest.raises(ClearedBefore):
        accept_alert(AcceptAlert(alert_id=alert.pk), by=house.mo, at=LATER)


def test_a_stranger_finds_nothing_and_an_auditor_may_not(house: House) -> None:
    alert = raised(house)

    with pytest.raises(NotFound):
        clear_alert(clearing(alert), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        clear_alert(clearing(alert), by=house.hale, at=NOON)


def test_the_database_wants_a_cause_too_and_one_alert_for_each_subject(house: House) -> None:
    alert = raised(house)

    with pytest.raises(IntegrityError, match="cleared_with_cause"), transaction.atomic():
        Alert.objects.filter(pk=alert.pk).update(cleared_at=LATER)
    with pytest.raises(IntegrityError, match="one_for_each_subject"), transaction.atomic():
        Alert.objects.create(
            site=house.site, about=alert.about, name="Again", url="/", level=1, raised_at=NOON
        )
