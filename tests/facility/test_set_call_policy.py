"""How long a site waits before it calls the next is the site's own, with its source."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from facility.commands.call_policies import (
    FigureOffScale,
    SetCallPolicy,
    SourceMissing,
    set_call_policy,
)
from facility.commands.escalation import EscalateAlert, escalate_alert
from facility.models import Alert, CallPolicy, Entry, Notice
from facility.queries.calling import call_times
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from facility.rules.calling import PRACTICE, USUAL, held_back, next_call_at
from tests.cast import NOON, House
from tests.facility.alerting import a_sign, cleared, raised
from tests.facility.calling import reached

MINUTE = timedelta(minutes=1)


def _asked(house: House, **changes: Any) -> SetCallPolicy:
    told: dict[str, Any] = {
        "id": uuid4(),
        "site_id": house.site.pk,
        "answer_within_min": 3,
        "remind_every_min": 15,
        "calls_at_most": 4,
        "usual_shift_h": 2,
        "most_in_a_shift": 1,
        "source": "the curator, minute 12",
    }
    return SetCallPolicy(**(told | changes))


def _escalated(alert: Alert, *, after_min: int) -> bool:
    command = EscalateAlert(alert_id=alert.pk)
    return escalate_alert(command, by=None, at=NOON + after_min * MINUTE) is not None


def test_without_any_the_usual_times_hold(house: House) -> None:
    assert call_times(house.site) == USUAL


def test_the_next_is_called_by_the_times_of_the_site(house: House) -> None:
    set_call_policy(_asked(house), by=house.mo, at=NOON)
    alert = raised(house, a_sign(level=1))

    told = [_escalated(alert, after_min=minute) for minute in (2, 3, 5, 6, 20, 21, 36, 51)]

    # After three minutes the backup, three more the managers, then all each quarter of an hour;
    # four calls in all.
    assert told == [False, True, False, True, False, True, True, False]


def test_what_is_due_today_waits_as_long_as_the_sites_shift(house: House) -> None:
    set_call_policy(_asked(house), by=house.mo, at=NOON)
    alert = raised(house)

    assert [_escalated(alert, after_min=minute) for minute in (119, 120)] == [False, True]


def test_a_channel_carries_as_many_as_the_site_says(house: House) -> None:
    set_call_policy(_asked(house), by=house.mo, at=NOON)
    reached(house, house.mo)
    for number in range(2):
        cleared(house, raised(house, a_sign(evidence=(f"tanks.reading:{number}",))))

    (held,) = Notice.objects.exclude(given_up_at=None)
    assert held.last_fault.startswith("Not sent: 1 message went this way within 2 h")


def test_what_was_set_before_stays_on_record(house: House) -> None:
    set_call_policy(_asked(house), by=house.mo, at=NOON)
    set_call_policy(_asked(house, answer_within_min=5), by=house.mo, at=NOON + MINUTE)

    assert call_times(house.site).answer_within_min == 5
    assert CallPolicy.objects.filter(site=house.site).count() == 2
    assert first_breach(house.site) is None


def test_delivered_twice_it_is_set_once(house: House) -> None:
    command = _asked(house)
    set_call_policy(command, by=house.mo, at=NOON)
    set_call_policy(command, by=house.mo, at=NOON + MINUTE)

    assert Entry.objects.filter(kind="facility.set-call-policy").count() == 1
    with pytest.raises(IdTaken):
        set_call_policy(_asked(house, id=command.id, calls_at_most=9), by=house.mo, at=NOON)


@pytest.mark.parametrize(
    ("changes", "refusal", "field"),
    [
        ({"answer_within_min": 0}, FigureOffScale, "answer_within_min"),
        ({"remind_every_min": 481}, FigureOffScale, "remind_every_min"),
        ({"source": " "}, SourceMissing, "source"),
    ],
)
def test_what_they_may_not_be(
    house: House, changes: dict[str, Any], refusal: type[Any], field: str
) -> None:
    with pytest.raises(refusal) as refused:
        set_call_policy(_asked(house, **changes), by=house.mo, at=NOON)

    assert refused.value.field == field


def test_only_a_manager_of_the_site(house: House) -> None:
    with pytest.raises(NotAllowed):
        set_call_policy(_asked(house), by=house.ana, at=NOON)
    with pytest.raises(NotFound):
        set_call_policy(_asked(house), by=house.bo, at=NOON)


def test_the_page_says_who_set_them_and_until_then_that_nobody_did(
    house: House, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOON)
    client.force_login(house.mo)
    address = f"/sites/{house.site.pk}/call-times/"
    typed = {name: str(value) for name, value in _asked(house).figures().items()}

    before = client.get("/alerts/times/").content.decode()
    refused = client.post(address, typed | {"id": str(uuid4()), "answer_within_min": "0"})
    answer = client.post(address, typed | {"id": str(uuid4()), "source": "the curator"})
    after = client.get("/alerts/times/").content.decode()

    assert PRACTICE in before
    assert "Nobody has set these" in before
    assert (refused.status_code, answer.status_code) == (422, 303)
    assert "from 1 to 240" in refused.content.decode()
    assert "the curator. Set by Mo" in after


def test_the_usual_times_are_those_the_trade_uses() -> None:
    """Common practice, no source: ten minutes, then half an hour; five messages a shift."""
    first, third = (
        next_call_at(USUAL, level=1, escalations=done, called_at=NOON, shift_ends_at=None)
        for done in (0, 2)
    )

    assert (first, third) == (NOON + 10 * MINUTE, NOON + 30 * MINUTE)
    assert "5 messages" in held_back(USUAL)
