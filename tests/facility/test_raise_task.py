"""A piece of work asked for once: what it needs to say, and what it takes from its subject."""

from typing import Any

import pytest

from facility.commands import terms, work
from facility.models import Task
from facility.refusals import Refusal
from tests.cast import NOON, House
from tests.facility.working import HOUR, asked, task_of

pytestmark = pytest.mark.django_db


def test_it_takes_area_and_rank_from_what_it_is_about(house: House) -> None:
    task = asked(house)

    assert (task.area, task.hygiene_rank) == (house.area, 1)


def test_it_may_be_about_the_site_and_then_lies_in_no_area(house: House) -> None:
    task = asked(house, about=f"facility.site:{house.site.pk}")

    assert (task.area, task.hygiene_rank) == (None, 1)


@pytest.mark.parametrize(
    ("said", "refusal", "sentence"),
    [
        ({"kind": "SING"}, terms.UnknownWorkKind, "kind of work"),
        ({"title": "  "}, terms.TitleMissing, "what is to be done"),
        ({"minutes": 0}, terms.MinutesOffScale, "from 1 to 600"),
        ({"about": "tanks.vessel:1"}, terms.UnknownSubject, "Choose a tank"),
        ({"hygiene_rank": 10}, terms.RankOffScale, "from 1"),
        ({"asks": {"deeds": "tanks.log-dose"}}, terms.AsksUnreadable, "lists of texts"),
        ({"asks": {"deeds": ["tanks.sing"]}}, terms.AsksUnreadable, "tanks.sing"),
        ({"late_at": NOON}, work.WindowAskew, "open before it is due"),
        ({"due_at": NOON - 2 * HOUR}, work.WindowAskew, "open before it is due"),
    ],
    ids=lambda value: getattr(value, "__name__", None),
)
def test_what_is_wrong_with_it_is_named(
    house: House, said: dict[str, Any], refusal: type[Refusal], sentence: str
) -> None:
    with pytest.raises(refusal, match=sentence):
        work.raise_task(task_of(house, **said), by=house.mo, at=NOON)

    assert not Task.objects.exists()
