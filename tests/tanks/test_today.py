"""The first page of a day: what was missed in one line, then what is to be done, named once."""

from datetime import date, datetime, timedelta

import pytest
from django.test import Client
from django.utils import timezone

from facility.sockets.work import Due, TaskSource, task_sources
from tanks.models import Vessel
from tanks.queries.due import due_in
from tanks.queries.today import missed, today
from tanks.queries.waters import water_of
from tanks.rules.missed import Last, days_ago, not_tested
from tests.cast import NOON, House
from tests.facility.rounds import drawn_up, on_shift
from tests.facility.working import answered, asked, raised, set_for
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged

DAY = timedelta(days=1)
# 12:00 on Monday 30 March 2026; the house opened on the Sunday before.
MONDAY = NOON + DAY
ASKS = {"deeds": ["tanks.log-readings"], "parameters": ["NITRITE"]}


def nitrite_duty(house: House, *, at: datetime) -> Vessel:
    """A system M1 whose nitrite is due at nine every day."""
    system = vessel_of(house, code="M1", kind="SYSTEM", at=NOON - 5 * DAY)
    set_for(
        house,
        kind="TEST",
        title="Read nitrite of M1",
        about=f"tanks.vessel:{system.pk}",
        asks=ASKS,
        begins_on=date(2026, 3, 29),
        at=at,
    )
    return system


@pytest.mark.django_db
def test_mondays_first_person_reads_in_one_line_what_sunday_missed(house: House) -> None:
    system = nitrite_duty(house, at=NOON - DAY)
    nitrite = kit(house, unit="mg/L", basis="N")
    logged(house, system, nitrite, "0.05", at=NOON - 2 * DAY)
    raised(house, until=NOON + 2 * DAY)

    (line,) = missed(house.site, at=MONDAY)

    assert line.sentence == (
        "Nitrite of M1 was not tested on Sunday: last 0.05 mg/L as N, 3 days ago."
    )


@pytest.mark.django_db
def test_it_stands_on_the_page_until_somebody_says_why(
    house: House, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    nitrite_duty(house, at=NOON - DAY)
    raised(house, until=NOON + 2 * DAY)
    monkeypatch.setattr(timezone, "now", lambda: MONDAY)
    client.force_login(house.ana)

    page = client.get("/today/").content.decode()
    (line,) = missed(house.site, at=MONDAY)
    answered(line.one.task, by=house.ana, at=MONDAY, outcome="NOT_DONE", why_not="No time")
    after = client.get("/today/").content.decode()

    assert "Nitrite of M1 was not tested on Sunday: never read before." in page
    assert "was not tested on Sunday" not in after


@pytest.mark.django_db
def test_a_turn_done_since_leaves_nothing_to_do_about_the_one_before(house: House) -> None:
    nitrite_duty(house, at=NOON - DAY)
    _, monday, *_ = raised(house, until=NOON + 2 * DAY)
    answered(monday, by=house.ana, at=MONDAY)

    assert missed(house.site, at=MONDAY) == []


@pytest.mark.django_db
def test_what_a_task_asks_for_is_not_named_again_by_the_start_up(house: House) -> None:
    tank = vessel_of(house)
    due = Due(
        key="a-test",
        title="Read nitrite",
        why="",
        place="Front room",
        hygiene_rank=1,
        due_at=NOON,
        url="/",
        vessel_ids=frozenset([tank.pk]),
        kind="TEST",
        parameters=frozenset(["NITRITE"]),
    )
    with task_sources.plugged(TaskSource("a-test", lambda *_: [due])):
        before = today(house.site, at=NOON)
        task = asked(house, kind="TEST", about=f"tanks.vessel:{tank.pk}", asks=ASKS)
        after = today(house.site, at=NOON)

    assert (before.due, before.tasks) == ((due,), ())
    assert (after.due, [one.task for one in after.tasks]) == ((), [task])


@pytest.mark.django_db
def test_late_comes_first_and_then_clean_before_dirty(house: House) -> None:
    dirty = asked(house, title="Dirty", hygiene_rank=5)
    clean = asked(house, title="Clean", due_at=NOON + timedelta(minutes=90))
    late = asked(house, title="Late", hygiene_rank=7, due_at=NOON, late_at=NOON)

    told = today(house.site, at=NOON + timedelta(minutes=1))

    assert [one.task for one in told.tasks] == [late, clean, dirty]


def test_several_parameters_are_one_line_and_ph_keeps_its_letter() -> None:
    zone = timezone.get_fixed_timezone(0)
    lasts = [
        Last(name="pH", text="7.8", at=NOON - DAY),
        Last(name="nitrite", text=None, at=None),
    ]

    said = not_tested("Row C", lasts, due_at=NOON - 9 * DAY, at=NOON, zone=zone)

    assert said == (
        "pH and nitrite of Row C were not tested on 20 March: "
        "pH last 7.8, 24 hours ago; nitrite never read before."
    )


def test_ages_are_days_from_two_days_on() -> None:
    spans = [timedelta(minutes=30), timedelta(hours=1), timedelta(hours=47), 2 * DAY]

    assert [days_ago(NOON - span, at=NOON) for span in spans] == [
        "0 hours ago",
        "1 hour ago",
        "47 hours ago",
        "2 days ago",
    ]


@pytest.mark.django_db
def test_a_scanned_tank_shows_the_tasks_of_its_water(house: House) -> None:
    tank, other = vessel_of(house), vessel_of(house, code="A-02")
    task = asked(house, title="Read nitrite of A-01", about=f"tanks.vessel:{tank.pk}", asks=ASKS)
    word = asked(house, title="Wipe the lid", about=f"tanks.vessel:{tank.pk}")

    here, there = (due_in(water_of(vessel, at=NOON)) for vessel in (tank, other))

    assert {due.title: due.url for due in here} == {
        task.title: f"/tanks/{tank.pk}/readings/",
        word.title: f"/tasks/{word.pk}/",
    }
    assert there == []


def test_who_has_a_round_is_led_to_it_and_to_its_next_stop(
    house: House, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOON)
    on_shift(house, house.ana)
    drawn_up(house, {house.ana: [asked(house)]})

    pages = []
    for person in (house.ana, house.mo):
        client.force_login(person)
        pages.append(client.get("/today/").content.decode())

    assert 'href="/round/">Your round' in pages[0]
    assert "1 of 1 to do. Next, " in pages[0]
    assert ">Your round</a> <span>" not in pages[1]
