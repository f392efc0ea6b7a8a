"""The stream is read back with the library and held against RFC 5545."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from icalendar import Calendar as Stream

from facility.commands.calendars import (
    AddressUnfit,
    CloseCalendar,
    OpenCalendar,
    close_calendar,
    open_calendar,
)
from facility.commands.people import EndMembership, end_membership
from facility.models import Calendar, Entry, Membership
from facility.queries.handsets import digest_of
from facility.refusals import NotFound
from tests.cast import NOON, House
from tests.facility.rounds import TOKEN, calendar_for, drawn_up, granted, on_shift
from tests.facility.working import answered, asked

pytestmark = pytest.mark.django_db

_TIMES = ("DTSTAMP", "DTSTART", "DTEND")
ADDRESS = f"/calendars/{TOKEN}.ics"


@pytest.fixture(autouse=True)
def _noon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON)


@pytest.fixture
def read(house: House, client: Client) -> Stream:
    """Ana's round of a walk and a long title, read without signing in."""
    granted(house, house.ana)
    on_shift(house, house.ana)
    walk = asked(house)
    test = asked(house, title="Prüfe Ammonium; Nitrit, pH " + "und " * 25, skill="photometer")
    drawn_up(house, {house.ana: [walk, test]})
    answered(walk, by=house.ana)
    calendar_for(house, house.ana)
    answer = client.get(ADDRESS)
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert all(len(line) <= 75 for line in answer.content.split(b"\r\n"))
    assert answer.content.count(b"\n") == answer.content.count(b"\r\n")
    return Stream.from_ical(answer.content)


def test_each_stop_is_an_event_with_what_the_standard_asks_for(house: House, read: Stream) -> None:
    """VERSION once, UID, DTSTAMP and DTSTART in each: RFC 5545, sections 3.6 and 3.6.1."""
    events: list[Any] = list(read.walk("VEVENT"))
    first, second = ({name: each[name].dt for name in _TIMES} for each in events)

    assert (str(read["VERSION"]), len(events)) == ("2.0", 2)
    assert len({str(event["UID"]) for event in events}) == 2
    assert first["DTSTAMP"] == second["DTSTAMP"] == NOON
    assert second["DTSTART"] >= first["DTEND"]
    assert first["DTEND"] - first["DTSTART"] == timedelta(minutes=10)


def test_titles_come_back_as_they_were_and_what_is_done_says_so(read: Stream) -> None:
    first, second = read.walk("VEVENT")

    assert str(first["SUMMARY"]) == "Done: Walk the front room"
    assert str(second["SUMMARY"]).startswith("Prüfe Ammonium; Nitrit, pH und")


def test_only_the_digest_of_the_address_is_kept(house: House) -> None:
    calendar_for(house, house.ana)

    assert Calendar.objects.get().token_sha256 == digest_of(TOKEN)
    assert TOKEN not in str(Entry.objects.get(kind="facility.open-calendar").facts)


def test_closed_it_leads_nowhere(house: House, client: Client) -> None:
    calendar = calendar_for(house, house.ana)
    assert client.get(ADDRESS).status_code == 200

    close_calendar(CloseCalendar(calendar_id=calendar.pk), by=house.ana, at=NOON)

    assert client.get(ADDRESS).status_code == 404
    assert client.get("/calendars/another.ics").status_code == 404


def test_who_leaves_takes_the_address_along(house: House, client: Client) -> None:
    calendar_for(house, house.ana)
    held = Membership.objects.get(person=house.ana, site=house.site)

    end_membership(EndMembership(membership_id=held.pk), by=house.mo, at=NOON)

    assert client.get(ADDRESS).status_code == 404


def test_nobody_closes_somebody_elses(house: House) -> None:
    calendar = calendar_for(house, house.ana)

    with pytest.raises(NotFound):
        close_calendar(CloseCalendar(calendar_id=calendar.pk), by=house.mo, at=NOON)


def test_a_token_opens_one_calendar(house: House) -> None:
    first = calendar_for(house, house.ana)
    other = OpenCalendar(id=house.bo.pk, site_id=house.site.pk, token_sha256=first.token_sha256)

    with pytest.raises(AddressUnfit):
        open_calendar(other, by=house.mo, at=NOON)


def test_the_address_is_shown_once(house: House, client: Client) -> None:
    client.force_login(house.ana)

    page = client.post(f"/sites/{house.site.pk}/calendar/", {"id": str(house.bo.pk)})

    shown = page.content.decode().partition('value="http://testserver')[2].partition('"')[0]
    assert client.get(shown).status_code == 200
