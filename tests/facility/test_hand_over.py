"""What the next shift finds: the note, what changed, what is open, who answers the phone."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from facility.commands import hand_overs as commands
from facility.commands.hand_overs import HandOver, hand_over
from facility.models import Alert, Entry, Person, Shift
from facility.queries import hand_overs
from facility.queries.changes import changes
from facility.refusals import NotAllowed, NotFound
from tests.cast import NOON, House
from tests.facility.loose import HOUR, left
from tests.facility.working import asked
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


def note_of(house: House, text: str = "Watch the skimmer of S-2.") -> HandOver:
    return HandOver(id=uuid4(), site_id=house.site.pk, text=text, happened_at=NOON)


def shift_of(
    house: House, person: Person, *, since: timedelta, until: timedelta, **more: bool
) -> Shift:
    period = DateTimeTZRange(NOON + since, NOON + until)
    return Shift.objects.create(site=house.site, person=person, period=period, **more)


def test_a_note_is_kept_under_its_writers_name(house: House) -> None:
    row = hand_over(note_of(house), by=house.ana, at=NOON)

    assert hand_overs.written(house.site, until=NOON) == [row]
    assert Entry.objects.latest("pk").kind == "facility.hand-over"


def test_an_empty_note_and_strangers_are_refused(house: House) -> None:
    with pytest.raises(commands.NothingWritten):
        hand_over(note_of(house, " "), by=house.ana, at=NOON)
    with pytest.raises(NotFound):
        hand_over(note_of(house), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        hand_over(note_of(house), by=house.hale, at=NOON)


def test_one_looks_back_to_the_end_of_ones_own_last_shift(house: House) -> None:
    hand_over(note_of(house), by=house.mo, at=NOON)
    shift_of(house, house.ana, since=-20 * HOUR, until=-12 * HOUR)
    shift_of(house, house.mo, since=-6 * HOUR, until=-2 * HOUR)
    at = NOON + HOUR

    hers = hand_overs.looks_back(house.site, house.ana, at=at)
    veras = hand_overs.looks_back(house.site, house.vera, at=at)

    assert [(way.code, way.at) for way in hers] == [
        ("shift", NOON - 12 * HOUR),
        ("day", at - DAY),
        ("note", NOON),
    ]
    assert [way.code for way in veras] == ["day", "note"]


def test_nobody_has_to_read_more_than_two_weeks(house: House) -> None:
    shift_of(house, house.ana, since=-60 * DAY, until=-59 * DAY)

    (mine, _) = hand_overs.looks_back(house.site, house.ana, at=NOON)

    assert mine.at == NOON - 14 * DAY


def test_who_is_on_call_now_and_in_the_night_to_come(house: House) -> None:
    shift_of(house, house.ana, since=-HOUR, until=HOUR, is_on_call=True)
    shift_of(house, house.mo, since=8 * HOUR, until=20 * HOUR, is_on_call=True)
    shift_of(house, house.vera, since=30 * HOUR, until=40 * HOUR, is_on_call=True)
    shift_of(house, house.vera, since=-HOUR, until=HOUR)

    called = hand_overs.on_call(house.site, at=NOON)

    assert [shift.person for shift in called] == [house.ana, house.mo]
    assert [shift.person for shift in hand_overs.on_site(house.site, at=NOON)] == [house.vera]


def test_changes_are_told_by_subject(house: House) -> None:
    ph = kit(house, "PH")
    tanks = [vessel_of(house, code=code) for code in ("A-01", "A-02")]
    for tank in (*tanks, tanks[0]):
        logged(house, tank, ph, "7.8", at=NOON + HOUR)

    subjects, is_cut = changes(house.site, since=NOON + HOUR, until=NOON + HOUR)

    assert [(one.name, len(one.changes)) for one in subjects] == [("A-01", 2), ("A-02", 1)]
    assert subjects[0].changes[0].says == "logged readings"
    assert subjects[0].changes[0].by == house.ana
    assert not is_cut


def test_what_was_read_is_told_in_words(house: House) -> None:
    logged(house, vessel_of(house), kit(house, "PH"), "7.8", at=NOON + HOUR)

    ((subject,), _) = changes(house.site, since=NOON + HOUR, until=NOON + HOUR)

    assert subject.changes[0].told == "pH 7.8"


def test_a_longer_night_costs_no_more_queries(
    house: House, django_assert_max_num_queries: Any
) -> None:
    ph, tanks = kit(house, "PH"), [vessel_of(house, code=f"A-{place}") for place in range(6)]
    for tank in tanks:
        logged(house, tank, ph, "7.8", at=NOON + HOUR)

    with django_assert_max_num_queries(8):
        subjects, _ = changes(house.site, since=NOON + HOUR, until=NOON + HOUR)

    assert len(subjects) == len(tanks)


def test_the_page_shows_all_of_it(
    house: House, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    hand_over(note_of(house), by=house.mo, at=NOON)
    left(house, at=NOON)
    asked(house, title="Read the rain butt")
    Alert.objects.create(
        site=house.site,
        about=f"facility.site:{house.site.pk}",
        name="Low water in S-1",
        url="/",
        level=1,
        raised_at=NOON,
    )
    shift_of(house, house.ana, since=-HOUR, until=9 * HOUR, is_on_call=True)
    monkeypatch.setattr(timezone, "now", lambda: NOON + HOUR)
    client.force_login(house.ana)

    text = client.get(reverse("facility:hand-overs")).content.decode()

    for words in (
        "Watch the skimmer of S-2.",
        "Hose fills the rain butt",
        "Read the rain butt",
        "Low water in S-1",
        "Nobody has taken it on",
        "Ana Quill",
    ):
        assert words in text


@pytest.mark.parametrize("name", ["closing-list", "hand-overs"])
def test_an_empty_house_has_nothing_open(house: House, client: Client, name: str) -> None:
    client.force_login(house.ana)

    assert "Nothing is left open" in client.get(reverse(f"facility:{name}")).content.decode()


def test_the_stop_list_says_what_to_leave_and_whom_to_ask(house: House, client: Client) -> None:
    left(house, due_back_at=timezone.now() + DAY)
    left(house, what="Nets in disinfectant")
    client.force_login(house.ana)

    text = client.get(reverse("facility:stop-list")).content.decode()

    assert "Leave as it is: Hose fills the rain butt" in text
    assert "Overdue, ask today: Nets in disinfectant" in text
    assert "Start no treatment and change no dose plan" in text
    assert "Nobody is down as on call" in text


def test_a_note_from_the_page_leads_back_to_it(house: House, client: Client) -> None:
    client.force_login(house.ana)
    url = reverse("facility:hand-over", args=[house.site.pk])
    sent = {"id": str(uuid4()), "text": "Feed twice.", "happened_at": "2026-03-29T13:00"}

    answer = client.post(url, sent)
    again = client.post(url, sent | {"id": str(uuid4()), "text": " "})

    assert (answer.status_code, answer["Location"]) == (303, reverse("facility:hand-overs"))
    assert again.status_code == 422
