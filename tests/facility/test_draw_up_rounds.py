from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import replace
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from facility.commands.rounds import (
    DayOver,
    DrawUpRounds,
    GivenTwice,
    NobodyOn,
    NotOn,
    RoundDrawn,
    SkillLacking,
    StopDrawn,
    UnknownTask,
    WrongOrder,
    draw_up_rounds,
)
from facility.models import Entry, Round, Task
from facility.queries.drafts import NOT_GIVEN, arranged, proposed
from facility.queries.own_rounds import everybodys, own_round
from facility.queries.rounds import day, in_force
from facility.refusals import Refusal
from facility.rules.assignment import Wish
from facility.rules.assignment.terms import NO_SKILL
from tests.cast import NOON, House
from tests.facility.rounds import drawing_of, drawn_up, granted, on_shift
from tests.facility.working import HOUR, answered, asked

pytestmark = pytest.mark.django_db

TODAY = NOON.date()


def test_the_latest_round_of_a_day_is_in_force(house: House) -> None:
    on_shift(house, house.ana)
    first, second = asked(house), asked(house, title="Walk again")
    drawn_up(house, {house.ana: [first]})
    drawn_up(house, {house.ana: [second, first]}, at=NOON + timedelta(minutes=5))

    found = own_round(house.ana, house.site, TODAY, at=NOON)

    assert found is not None
    assert [stop.one.task for stop in found.stops] == [second, first]
    assert Round.objects.count() == 2
    assert Entry.objects.filter(kind="facility.draw-up-rounds").count() == 2


def test_who_is_left_out_of_the_new_rounds_has_an_empty_one(house: House) -> None:
    on_shift(house, house.ana)
    on_shift(house, house.mo)
    task = asked(house)
    drawn_up(house, {house.ana: [task]})

    drawn_up(house, {house.mo: [task]}, at=NOON + timedelta(minutes=5))

    rounds = in_force(house.site, TODAY)
    assert {row.person: len(row.stops) for row in rounds.values()} == {house.ana: 0, house.mo: 1}


def test_an_answered_stop_stays_in_its_round(house: House) -> None:
    on_shift(house, house.ana)
    task = asked(house)
    drawn_up(house, {house.ana: [task]})
    answered(task, by=house.ana)

    found = own_round(house.ana, house.site, TODAY, at=NOON)

    assert found is not None
    assert (found.open_stops, [stop.one.state for stop in found.stops]) == (0, ["done"])


def _refused(command: DrawUpRounds, refusal: type[Refusal], house: House) -> None:
    with pytest.raises(refusal):
        draw_up_rounds(command, by=house.mo, at=NOON)
    assert not Round.objects.exists()


def test_a_day_without_rounds_or_one_that_is_over_is_refused(house: House) -> None:
    on_shift(house, house.ana)
    told = drawing_of(house, {house.ana: [asked(house)]})

    _refused(replace(told, rounds=()), NobodyOn, house)
    _refused(replace(told, on=TODAY - timedelta(days=1)), DayOver, house)


def test_a_round_goes_to_who_is_on_and_holds_each_known_task_once(house: House) -> None:
    on_shift(house, house.ana)
    told = drawing_of(house, {})
    stop = StopDrawn(task_id=asked(house).pk)
    mine = RoundDrawn(person_id=house.ana.pk, stops=(stop,))

    _refused(replace(told, rounds=(replace(mine, person_id=house.mo.pk),)), NotOn, house)
    unknown = replace(mine, stops=(StopDrawn(task_id=uuid4()),))
    _refused(replace(told, rounds=(unknown,)), UnknownTask, house)
    _refused(replace(told, rounds=(replace(mine, stops=(stop, stop)),)), GivenTwice, house)
    _refused(replace(told, rounds=(mine, replace(mine, stops=()))), GivenTwice, house)


def test_a_task_goes_only_to_who_has_its_skill(house: House) -> None:
    on_shift(house, house.ana)
    task = asked(house, skill="photometer")

    with pytest.raises(SkillLacking, match="Ana Quill has not been granted"):
        drawn_up(house, {house.ana: [task]})
    granted(house, house.ana)

    assert drawn_up(house, {house.ana: [task]})


def test_what_goes_before_stays_before(house: House) -> None:
    on_shift(house, house.ana)
    first = asked(house)
    later = asked(house, title="Feed", goes_after_id=first.pk)

    with pytest.raises(WrongOrder, match="Walk the front room goes before Feed"):
        drawn_up(house, {house.ana: [later, first]})


def test_the_proposal_gives_everything_that_fits_and_names_the_rest(house: House) -> None:
    on_shift(house, house.ana)
    easy, hard = asked(house), asked(house, title="Photometer", skill="photometer")

    draft = proposed(day(house.site, TODAY, at=NOON))

    assert [[stop.one.task for stop in column.stops] for column in draft.columns] == [[easy]]
    assert [(one.task, why) for one, why in draft.left] == [(hard, NO_SKILL)]


def test_a_proposal_at_noon_begins_at_noon_and_leaves_out_what_is_done(house: House) -> None:
    on_shift(house, house.ana)
    done, open_ = asked(house), asked(house, title="Walk again")
    answered(done, by=house.ana)

    [column] = proposed(day(house.site, TODAY, at=NOON)).columns

    assert [stop.one.task for stop in column.stops] == [open_]
    assert column.stops[0].begins_at == NOON
    assert column.capacity_min == 4 * 60


def test_yesterdays_undone_task_is_shared_out_today(house: House) -> None:
    on_shift(house, house.ana)
    late = asked(house, at=NOON - timedelta(days=1))

    [column] = proposed(day(house.site, TODAY, at=NOON)).columns

    assert [stop.one.task for stop in column.stops] == [late]


def test_what_nobody_got_is_named(house: House) -> None:
    on_shift(house, house.ana)
    task = asked(house)

    draft = arranged(day(house.site, TODAY, at=NOON), [Wish(task=str(task.pk), person="")])

    assert [(one.task, why) for one, why in draft.left] == [(task, NOT_GIVEN)]


def _told(house: House, task: object, *, person: str, do: str) -> dict[str, object]:
    pk = getattr(task, "pk", None)
    return {"id": str(uuid4()), "stops": f"{pk}:{person}:0", "picked": [str(pk)], "do": do}


@pytest.fixture
def _noon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON)


@pytest.mark.usefixtures("_noon")
def test_on_the_page_a_task_is_given_on_kept_and_saved(house: House, client: Client) -> None:
    client.force_login(house.mo)
    on_shift(house, house.ana)
    on_shift(house, house.mo)
    task = asked(house)
    address = f"/sites/{house.site.pk}/rounds/"
    give = _told(house, task, person=str(house.mo.pk), do=f"give:{house.ana.pk}")

    moved = client.post(address, give)
    assert moved.status_code == 200
    assert f"{task.pk}:{house.ana.pk}:1" in moved.content.decode()
    assert not Round.objects.exists()

    fixed = f"{task.pk}:{house.ana.pk}:1"
    anew = client.post(address, give | {"stops": fixed, "do": "propose"})
    assert fixed in anew.content.decode()

    saved = client.post(address, give | {"stops": fixed, "do": "save"})
    assert saved.status_code == 303
    rounds = in_force(house.site, TODAY)
    assert rounds[house.ana.pk].stops == [{"task": str(task.pk), "is_fixed": True}]


@pytest.mark.usefixtures("_noon")
def test_on_the_page_a_round_without_the_skill_is_refused_and_keeps_the_draft(
    house: House, client: Client
) -> None:
    client.force_login(house.mo)
    on_shift(house, house.ana)
    task = asked(house, skill="photometer")

    answer = client.post(
        f"/sites/{house.site.pk}/rounds/",
        _told(house, task, person=str(house.ana.pk), do="save"),
    )

    assert answer.status_code == 422
    assert "asks for the skill photometer" in answer.content.decode()
    assert f"{task.pk}:{house.ana.pk}:0" in answer.content.decode()


@pytest.mark.usefixtures("_noon")
def test_a_draft_of_more_tasks_than_a_sheet_has_fields_is_saved(
    house: House, client: Client
) -> None:
    """Django takes a thousand fields of a sheet unless told otherwise."""
    client.force_login(house.mo)
    on_shift(house, house.ana)
    first = asked(house, minutes=1)
    more = Task.objects.bulk_create(copies_of(first, count=1_199))
    wanted = [str(task.pk) for task in (first, *more)]
    told = " ".join(f"{pk}:{house.ana.pk}:0" for pk in wanted)

    page = client.get(f"/sites/{house.site.pk}/rounds/").content.decode()
    saved = client.post(
        f"/sites/{house.site.pk}/rounds/", {"id": str(uuid4()), "stops": told, "do": "save"}
    )

    assert page.count('name="stops"') == 1
    assert page.count('type="hidden"') < 20
    assert saved.status_code == 303
    stops = in_force(house.site, TODAY)[house.ana.pk].stops
    assert sorted(stop["task"] for stop in stops) == sorted(wanted)


def copies_of(task: Task, *, count: int) -> list[Task]:
    """As many more of it, each a task of its own."""
    columns = {field.attname: getattr(task, field.attname) for field in Task._meta.concrete_fields}
    return [Task(**columns | {"id": uuid4()}) for _ in range(count)]


@pytest.mark.usefixtures("_noon")
def test_a_draft_that_cannot_be_read_is_refused(house: House, client: Client) -> None:
    client.force_login(house.mo)

    answer = client.post(
        f"/sites/{house.site.pk}/rounds/", {"id": str(uuid4()), "stops": "x", "do": "save"}
    )

    assert answer.status_code == 422
    assert "Load this page again" in answer.content.decode()


@pytest.mark.usefixtures("_noon")
def test_the_round_leads_to_where_each_stop_is_done(house: House, client: Client) -> None:
    client.force_login(house.ana)
    on_shift(house, house.ana)
    task = asked(house)
    drawn_up(house, {house.ana: [task]})

    page = client.get("/round/").content.decode()
    paper = client.get(f"/sites/{house.site.pk}/rounds.pdf")

    assert "1 of 1 to do" in page
    assert f"/tasks/{task.pk}/" in page
    assert paper.content.startswith(b"%PDF")
    assert task.due_at == NOON + HOUR


def test_the_number_of_queries_does_not_grow_with_the_tasks(
    house: House, django_assert_max_num_queries: Callable[[int], AbstractContextManager[Any]]
) -> None:
    on_shift(house, house.ana)
    on_shift(house, house.mo)
    tasks = [asked(house, title=f"Walk {number}", minutes=2) for number in range(20)]
    drawn_up(house, {house.ana: tasks[:10], house.mo: tasks[10:]})

    with django_assert_max_num_queries(14):
        draft = proposed(day(house.site, TODAY, at=NOON))
    with django_assert_max_num_queries(12):
        found = everybodys(house.site, TODAY, at=NOON)

    assert sum(len(column.stops) for column in draft.columns) == 20
    assert [len(one.stops) for one in found] == [10, 10]
