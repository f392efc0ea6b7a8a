"""All well except: one sheet for all tanks of an area, and one value for many."""

from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands import walks
from tanks.commands.walks import log_walk
from tanks.models import Method, Reading, Vessel, Walk, WalkSign
from tanks.queries.entries import recent
from tanks.queries.walks import latest_walk, on_the_way, seen_last
from tanks.queries.waters import water_of
from tests.cast import NOON, House
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged
from tests.tanks.walking import HOUR, sign_of, walk_of, walked

pytestmark = pytest.mark.django_db


@pytest.fixture
def tanks(house: House) -> list[Vessel]:
    return [vessel_of(house, code=code) for code in ("A-10", "A-2", "A-1")]


def test_the_way_goes_as_people_count(house: House, tanks: list[Vessel]) -> None:
    assert [each.code for each in on_the_way(house.area, at=NOON)] == ["A-1", "A-2", "A-10"]


def test_what_was_seen_and_what_was_not_well_is_kept(house: House, tanks: list[Vessel]) -> None:
    walk = walked(house, *tanks, sign_of(tanks[0]))

    unwell, well = (seen_last(tank, at=NOON) for tank in tanks[:2])
    assert latest_walk(house.area, at=NOON) == walk
    assert unwell is not None
    assert well is not None
    assert [sign.get_sign_display() for sign in unwell.signs] == ["Breathing fast or gasping"]
    assert well.signs == ()
    line = Entry.objects.latest("pk")
    assert (line.kind, line.about) == ("tanks.log-walk", f"facility.area:{house.area.pk}")
    assert first_breach(house.site) is None


def test_a_tank_passed_by_unseen_was_not_well(house: House, tanks: list[Vessel]) -> None:
    walked(house, *tanks[1:])

    assert seen_last(tanks[0], at=NOON) is None


def test_a_sign_stands_among_what_was_entered_of_the_tank(
    house: House, tanks: list[Vessel]
) -> None:
    walked(house, *tanks, sign_of(tanks[0], "SPOTS", "Three white ones"))

    (line,) = recent(water_of(tanks[0], at=NOON))
    assert (line.what, line.text) == ("Spots, film or fluff", "Three white ones")


def test_delivered_twice_is_walked_once_and_otherwise_refused(
    house: House, tanks: list[Vessel]
) -> None:
    command = walk_of(house, *tanks, sign_of(tanks[0]))
    first = log_walk(command, by=house.ana, at=NOON)

    assert log_walk(command, by=house.ana, at=NOON + HOUR) == first
    other = walk_of(house, *tanks, sign_of(tanks[1]))
    with pytest.raises(IdTaken):
        log_walk(_with(other, id=command.id), by=house.ana, at=NOON)
    with pytest.raises(IdTaken):
        log_walk(_with(command, id=uuid4()), by=house.ana, at=NOON)
    assert Walk.objects.count() == 1


def _with(command: walks.LogWalk, **changes: Any) -> walks.LogWalk:
    told = {name: getattr(command, name) for name in command.__dataclass_fields__}
    return walks.LogWalk(**(told | changes))


def test_what_cannot_have_been_seen_is_refused(house: House, tanks: list[Vessel]) -> None:
    tank = tanks[0]
    for command, refusal in (
        (walk_of(house), walks.NothingSeen),
        (walk_of(house, tank, tank), walks.NotOnTheWay),
        (_with(walk_of(house, tank), seen=(uuid4(),)), walks.NotOnTheWay),
        (walk_of(house, tank, sign_of(tanks[1])), walks.SignUnseen),
        (walk_of(house, tank, sign_of(tank, "LIMP")), walks.UnknownSign),
        (walk_of(house, tank, sign_of(tank, "OTHER", " ")), walks.NoteMissing),
        (walk_of(house, tank, at=NOON + HOUR), InTheFuture),
        (_with(walk_of(house, tank), area_id=uuid4()), NotFound),
    ):
        with pytest.raises(refusal):
            log_walk(command, by=house.ana, at=NOON)
    assert not Walk.objects.exists()


def test_stranger_and_auditor_do_not_walk(house: House, tanks: list[Vessel]) -> None:
    with pytest.raises(NotFound):
        log_walk(walk_of(house, *tanks), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        log_walk(walk_of(house, *tanks), by=house.hale, at=NOON)


def test_database_keeps_no_empty_walk_and_no_unknown_sign(
    house: House, tanks: list[Vessel]
) -> None:
    walk = walked(house, *tanks, sign_of(tanks[0]))
    sign = walk.signs.get()
    sign.pk, sign._state.adding, sign.sign = uuid4(), True, "LIMP"
    walk.pk, walk._state.adding, walk.seen = uuid4(), True, []

    with pytest.raises(IntegrityError, match="tanks_walk_sign"), transaction.atomic():
        sign.save(force_insert=True)
    with pytest.raises(IntegrityError, match="walk_saw_something"), transaction.atomic():
        walk.save(force_insert=True)


@pytest.fixture
def sheet(house: House, client: Client, monkeypatch: pytest.MonkeyPatch) -> Client:
    monkeypatch.setattr(timezone, "now", lambda: NOON + HOUR)
    client.force_login(house.ana)
    return client


def sent(tanks: list[Vessel], **changes: str) -> dict[str, str]:
    """The sheet as it is sent with nothing marked."""
    states = {f"state-{tank.pk}": "" for tank in tanks}
    return {"id": str(uuid4()), "happened_at": "2026-03-29T14:00", **states, **changes}


def address(house: House) -> str:
    return reverse("tanks:log-walk", args=[house.area.pk])


def thermometer(house: House) -> tuple[Method, str]:
    method = kit(house, "TEMPERATURE", name="Glass thermometer")
    return method, f"TEMPERATURE|{method.pk}"


def test_all_well_is_one_touch(house: House, tanks: list[Vessel], sheet: Client) -> None:
    answer = sheet.post(address(house), sent(tanks))

    assert answer.status_code == 303
    assert set(Walk.objects.get().seen) == {tank.pk for tank in tanks}
    assert not WalkSign.objects.exists()
    assert "Front room: 3 seen, all well." in sheet.get(answer["Location"]).content.decode()


def test_marked_unseen_and_unknown_tanks_were_not_seen(
    house: House, tanks: list[Vessel], sheet: Client
) -> None:
    """A tank put up after the page was opened was not on it."""
    sheet.post(address(house), sent(tanks[:2], **{f"state-{tanks[0].pk}": "UNSEEN"}))

    assert Walk.objects.get().seen == [tanks[1].pk]


def test_one_value_for_all_but_those_with_their_own(
    house: House, tanks: list[Vessel], sheet: Client
) -> None:
    _, measure = thermometer(house)
    values = {f"text-{tanks[0].pk}": "25.5", f"state-{tanks[2].pk}": "UNSEEN"}
    answer = sheet.post(address(house), sent(tanks, measure=measure, value="25", **values))

    assert answer.status_code == 303
    rows = Reading.objects.values_list("vessel__code", "as_entered").order_by("vessel__code")
    assert list(rows) == [("A-10", "25.5"), ("A-2", "25")]
    assert Entry.objects.filter(kind="tanks.log-readings").count() == 2


def test_an_unusual_value_is_asked_about_and_nothing_is_kept_twice(
    house: House, tanks: list[Vessel], sheet: Client
) -> None:
    method, measure = thermometer(house)
    logged(house, tanks[0], method, "25", at=NOON)
    logged(house, tanks[1], method, "25", at=NOON)
    body = sent(tanks, measure=measure, value="25", **{f"text-{tanks[0].pk}": "39"})

    asked = sheet.post(address(house), body)
    kept = sheet.post(address(house), body | {"confirmed": _asked(asked)})

    assert asked.status_code == 422
    assert kept.status_code == 303
    assert Reading.objects.filter(happened_at=NOON + HOUR).count() == 3
    assert Walk.objects.count() == 1


def _asked(page: Any) -> str:
    ids: list[UUID] = list(page.context["form"].questions)
    return str(ids[0])


def test_what_is_wrong_is_told_beside_it_and_nothing_typed_is_lost(
    house: House, tanks: list[Vessel], sheet: Client
) -> None:
    _, measure = thermometer(house)
    state, note, text = (f"{name}-{tanks[0].pk}" for name in ("state", "note", "text"))

    unread = sheet.post(address(house), sent(tanks, value="25"))
    wrong = sheet.post(address(house), sent(tanks, measure=measure, **{text: "warm"}))
    untold = sheet.post(address(house), sent(tanks, **{state: "OTHER"}))

    assert "Choose what was read" in unread.content.decode()
    assert text in wrong.context["form"].errors
    assert 'value="warm"' in wrong.content.decode()
    assert note in untold.context["form"].errors
    assert {page.status_code for page in (unread, wrong, untold)} == {422}
    assert not Walk.objects.exists()


def test_nothing_looked_at_is_no_walk(house: House, tanks: list[Vessel], sheet: Client) -> None:
    unseen = {f"state-{tank.pk}": "UNSEEN" for tank in tanks}

    assert sheet.post(address(house), sent(tanks, **unseen)).status_code == 422


def test_a_plain_method_is_described_by_its_first_use(
    house: House, tanks: list[Vessel], sheet: Client
) -> None:
    page = sheet.get(address(house))
    groups = dict(page.context["form"].fields["measure"].choices)
    measure = groups["Temperature"][0][0]

    answer = sheet.post(address(house), sent(tanks, measure=measure, value="25"))

    assert answer.status_code == 303
    assert Method.objects.get().parameter == "TEMPERATURE"


def test_the_list_of_areas_tells_when_each_was_walked(
    house: House, tanks: list[Vessel], sheet: Client
) -> None:
    before = sheet.get(reverse("tanks:walks")).content.decode()
    walked(house, *tanks)
    after = sheet.get(reverse("tanks:walks")).content.decode()

    assert "Never walked" in before
    assert "Ana Quill, 3 seen" in after
