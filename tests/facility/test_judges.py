"""A task that names a judge is closed by what was recorded, and only when the judge says so."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from uuid import UUID

import pytest
from django.test import Client
from django.urls import reverse

from facility.commands.answers import NeedsProof
from facility.commands.evidence import answer_by_evidence
from facility.commands.hand_overs import HandOver, hand_over
from facility.commands.terms import AsksUnreadable
from facility.models import Completion, Task
from facility.sockets.work import Judge, judges
from tests.cast import NOON, House
from tests.facility.working import HOUR, answered, asked

pytestmark = pytest.mark.django_db


def _is_long(judged: Mapping[str, Any], rows: Sequence[Mapping[str, Any]]) -> bool:
    return any(len(row["text"]) >= judged["letters"] for row in rows)


@pytest.fixture(autouse=True)
def _judge() -> Iterator[None]:
    with judges.plugged(Judge(name="tests.long-enough", passes=_is_long)):
        yield


def to_tell(house: House, **more: Any) -> Task:
    asks = {"deeds": ["facility.hand-over"], "judge": "tests.long-enough"}
    about = f"facility.site:{house.site.pk}"
    return asked(house, about=about, asks={**asks, "judged": {"letters": 10}, **more})


def told(house: House, text: str, number: int) -> None:
    command = HandOver(id=UUID(int=number), site_id=house.site.pk, text=text, happened_at=NOON)
    hand_over(command, by=house.ana, at=NOON)
    answer_by_evidence(f"facility.site:{house.site.pk}", at=NOON)


def test_what_is_not_good_enough_leaves_it_open_and_what_is_closes_it(house: House) -> None:
    task = to_tell(house)

    told(house, "Short", 1)
    assert not Completion.objects.exists()
    told(house, "A text that is long enough", 2)

    assert Completion.objects.get().task == task


def test_no_word_closes_it_but_it_may_be_said_why_it_is_not_done(house: House) -> None:
    task = to_tell(house)

    with pytest.raises(NeedsProof):
        answered(task, by=house.mo)
    answered(task, by=house.mo, at=NOON + HOUR, outcome="NOT_DONE", why_not="No time")

    assert Completion.objects.get().outcome == "NOT_DONE"


def test_its_page_offers_no_button_that_would_be_refused(house: House, client: Client) -> None:
    client.force_login(house.ana)

    page = client.get(reverse("facility:answer-task", args=[to_tell(house).pk])).content.decode()

    assert "Only a result that is good enough closes this" in page
    assert 'value="DONE"' not in page
    assert 'value="NOT_DONE"' in page


@pytest.mark.parametrize(
    "wrong",
    [{"judge": "nobody"}, {"judge": 7}, {"judged": []}, {"judged": None}, {"deeds": []}],
)
def test_a_judge_must_be_known_and_have_something_to_judge(
    house: House, wrong: dict[str, Any]
) -> None:
    with pytest.raises(AsksUnreadable):
        to_tell(house, **wrong)
