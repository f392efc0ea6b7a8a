"""A valve closed for a while: who opens it again, until when, and what ammonia does meanwhile."""

from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from facility.models import Entry
from facility.queries.loose_ends import loose_about, loose_in
from facility.queries.proof import first_breach
from facility.refusals import NotAllowed, NotFound
from facility.sockets.loose_ends import Loose
from facility.sockets.work import Due, task_sources
from tanks.commands import connections, valve_loans
from tanks.commands.changes import LogFeeding, log_feeding
from tanks.commands.valve_loans import lend_valve
from tanks.commands.withdrawals import WithdrawEntry, withdraw_entry
from tanks.models import Connection, ValveLoan
from tanks.queries.waters import water_of
from tests.cast import NOON, House
from tests.tanks.estate import closed, device_on, measured, opened, system_of, vessel_of
from tests.tanks.samples import kit, logged
from tests.tanks.walking import HOUR, lent, loan_of

pytestmark = pytest.mark.django_db
LATER = NOON + 2 * HOUR


@pytest.fixture
def connection(house: House) -> Connection:
    """A tank of 80 L open to a system of 1720 L since noon."""
    tank, system = vessel_of(house), system_of(house)
    measured(house, tank, litres="80")
    measured(house, system, litres="1720")
    return opened(house, tank, system)


def loose(house: House, connection: Connection, *, hours: float) -> list[Loose]:
    at = NOON + hours * HOUR
    return loose_about([f"tanks.vessel:{connection.vessel_id}"], at)


def test_it_closes_the_valve_and_stands_on_the_list(house: House, connection: Connection) -> None:
    lent(house, connection)

    (one,) = loose(house, connection, hours=2)
    assert water_of(connection.vessel, at=LATER).litres == 80
    assert (one.what, one.owner_name) == ("Valve between A-01 and S-1 is closed", "Ana Quill")
    assert one.return_url == reverse("tanks:open-valve", args=[connection.vessel_id])
    line = Entry.objects.latest("pk")
    assert [row["model"] for row in line.facts["rows"]] == ["tanks.connection", "tanks.valveloan"]
    assert first_breach(house.site) is None


def test_the_system_shows_it_as_well(house: House, connection: Connection) -> None:
    lent(house, connection)

    assert len(loose_about([f"tanks.vessel:{connection.system_id}"], LATER)) == 1


def test_opened_again_it_is_off_the_list(house: House, connection: Connection) -> None:
    lent(house, connection)
    opened(house, connection.vessel, connection.system, at=NOON + 3 * HOUR)

    assert len(loose(house, connection, hours=2.9)) == 1
    assert loose(house, connection, hours=3) == []


def test_overdue_from_its_time_on_and_due_on_that_day(house: House, connection: Connection) -> None:
    lent(house, connection, due_back_at=NOON + 3 * HOUR)

    (early,), (late,) = (loose(house, connection, hours=hours) for hours in (2, 3))
    assert (early.is_overdue, late.is_overdue) == (False, True)
    assert "Open A-01 to S-1 again" in [one.title for one in due(house, hours=2)]


def due(house: House, *, hours: float) -> list[Due]:
    at = NOON + hours * HOUR
    return [one for source in task_sources for one in source.due(house.site.pk, at)]


def test_said_again_the_latest_time_holds(house: House, connection: Connection) -> None:
    lent(house, connection)
    later = lent(house, connection, at=LATER, due_back_at=NOON + 90 * HOUR, why="Day 2 of 3")

    (one,) = loose(house, connection, hours=3)
    assert (one.due_back_at, one.why) == (NOON + 90 * HOUR, "Day 2 of 3")
    assert Entry.objects.latest("pk").facts["rows"][0]["id"] == str(later.pk)


def test_a_valve_closed_for_good_is_no_loose_end_until_somebody_says_so(
    house: House, connection: Connection
) -> None:
    closed(house, connection, at=NOON + HOUR)
    assert loose(house, connection, hours=2) == []

    lent(house, connection, at=LATER)

    assert len(loose(house, connection, hours=3)) == 1


def test_a_loan_withdrawn_stays_closed_for_good(house: House, connection: Connection) -> None:
    loan = lent(house, connection)
    gone = WithdrawEntry(
        id=uuid4(), model="tanks.valveloan", fact_id=loan.pk, reason="A tank of its own from now on"
    )
    withdraw_entry(gone, by=house.ana, at=LATER)

    assert loose(house, connection, hours=3) == []
    assert water_of(connection.vessel, at=NOON + 3 * HOUR).litres == 80


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"why": " "}, valve_loans.WhyMissing),
        ({"due_back_at": NOON + HOUR}, valve_loans.ClosedWithoutReturn),
        ({"owner_id": uuid4()}, valve_loans.UnknownOwner),
        ({"happened_at": NOON}, connections.ClosedBeforeOpened),
        ({"connection_id": uuid4()}, NotFound),
    ],
)
def test_a_loan_names_owner_reason_and_time(
    house: House, connection: Connection, changes: dict[str, Any], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        lend_valve(loan_of(house, connection, **changes), by=house.ana, at=LATER)

    connection.refresh_from_db()
    assert connection.period.upper is None
    assert not ValveLoan.objects.exists()


def test_what_is_open_again_is_lent_by_its_own_valve(house: House, connection: Connection) -> None:
    lent(house, connection)
    opened(house, connection.vessel, connection.system, at=NOON + 3 * HOUR)

    with pytest.raises(valve_loans.OpenAgain, match="A-01 was opened to a system since"):
        lent(house, connection, at=NOON + 4 * HOUR)


def test_a_closed_valve_is_not_lent_from_before_it_was_closed(
    house: House, connection: Connection
) -> None:
    closed(house, connection, at=LATER)

    with pytest.raises(valve_loans.ClosedLater):
        lend_valve(loan_of(house, connection, at=NOON + HOUR), by=house.ana, at=NOON + 3 * HOUR)


def test_stranger_finds_no_valve_and_auditor_may_not(house: House, connection: Connection) -> None:
    with pytest.raises(NotFound):
        lend_valve(loan_of(house, connection), by=house.bo, at=LATER)
    with pytest.raises(NotAllowed):
        lend_valve(loan_of(house, connection), by=house.hale, at=LATER)


def test_database_keeps_no_loan_without_an_end(house: House, connection: Connection) -> None:
    loan = lent(house, connection)
    loan.pk, loan._state.adding, loan.due_back_at = uuid4(), True, loan.happened_at

    with pytest.raises(IntegrityError, match="valveloan_is_a_loan"), transaction.atomic():
        loan.save(force_insert=True)


def fed(house: House, vessel_id: object, grams: str, *, hours: float) -> None:
    at = NOON + hours * HOUR
    command = LogFeeding(
        id=uuid4(),
        vessel_id=vessel_id,  # type: ignore[arg-type]  # the pk of a vessel, whatever its stub says
        grams=Decimal(grams),
        protein_share=Decimal("0.45"),
        happened_at=at,
    )
    log_feeding(command, by=house.ana, at=at)


def test_its_ammonia_is_reckoned_from_the_feed_it_gets(
    house: House, connection: Connection
) -> None:
    """7 g in a week at 45 % protein: 0.092 x 0.45 x 1000 mg / 80 L = 0.5175 mg/L-N a day.

    Timmons & Ebeling (2013), P_TAN = F x PC x 0.092; worked by hand.
    """
    logged(house, connection.vessel, kit(house, "TAN"), "0.1", at=NOON + HOUR / 2)
    lent(house, connection)
    fed(house, connection.vessel_id, "7", hours=2)

    (one,) = loose(house, connection, hours=3)

    assert "TAN rises 0.52 mg/L-N a day" in one.note
    # 0.1 read, two hours at 0.5175 a day: 0.143; the shipped limit is 0.25 mg/L as N.
    assert "About 0.14 mg/L-N by now" in one.note
    assert "0.25 mg/L-N is reached in 5 h" in one.note


def test_the_systems_feed_counts_for_its_share_of_the_water(
    house: House, connection: Connection
) -> None:
    """63 g in 1800 L are 1.449 mg/L-N, a seventh of it a day: 0.207. Worked by hand as above."""
    fed(house, connection.system_id, "63", hours=0.5)
    lent(house, connection)
    fed(house, connection.system_id, "900", hours=2)

    (one,) = loose(house, connection, hours=25)

    assert "TAN rises 0.21 mg/L-N a day" in one.note
    assert "counted from 0 because none was read" in one.note


@pytest.mark.parametrize("kind", ["BIOFILTER", "UV"])
def test_a_tank_with_a_filter_of_its_own_is_not_reckoned(
    house: House, connection: Connection, kind: str
) -> None:
    device_on(house, connection.vessel, kind=kind)
    lent(house, connection)

    (one,) = loose(house, connection, hours=2)
    assert ("a biofilter of its own" in one.note) is (kind == "BIOFILTER")
    assert ("test it daily" in one.note) is (kind == "UV")


def test_many_loans_cost_no_more_queries(
    house: House,
    connection: Connection,
    django_assert_max_num_queries: object,
) -> None:
    lent(house, connection)
    for code in ("A-02", "A-03", "A-04"):
        other = opened(house, vessel_of(house, code=code), connection.system)
        lent(house, other)

    with django_assert_max_num_queries(20):  # type: ignore[operator]  # untyped fixture
        found = loose_in(house.site, LATER)

    assert len(found) == 4


def test_the_sheet_keeps_what_was_typed_and_leads_to_the_water(
    house: House, connection: Connection, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: LATER)
    client.force_login(house.ana)
    url = reverse("tanks:lend-valve", args=[connection.pk])
    sent = {
        "id": str(uuid4()),
        "happened_at": "2026-03-29T14:00",
        "why": "Bath treatment",
        "owner": str(house.ana.pk),
    }

    refused = client.post(url, sent)
    looked = client.post(url, sent | {"preview": "1"}, headers={"HX-Request": "true"})
    kept = client.post(url, sent | {"due_back_at": "2026-03-30T14:00"})
    page = client.get(reverse("tanks:tank", args=[connection.vessel_id])).content.decode()

    assert refused.status_code == 422
    assert 'value="Bath treatment"' in refused.content.decode()
    assert "After it: A-01: 80 L net; S-1: 1720 L net." in looked.content.decode()
    assert (kept.status_code, ValveLoan.objects.get().due_back_at) == (303, NOON + 25 * HOUR)
    assert "Valve between A-01 and S-1 is closed" in page


def test_the_tank_page_counts_the_minutes_until_then(
    house: House, connection: Connection, client: Client
) -> None:
    """The real clock is past the time it was due: whoever opens the page sees it stand out."""
    lent(house, connection, due_back_at=NOON + HOUR + timedelta(minutes=1))
    client.force_login(house.ana)

    page = client.get(reverse("tanks:tank", args=[connection.vessel_id])).content.decode()

    assert '<span class="badge overdue">overdue</span>' in page
    assert "<strong>No feed or no net volume is known of it" in page
