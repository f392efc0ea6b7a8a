"""It stays longer, or becomes somebody else's: with a reason, and what was promised stays."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from facility.commands import loose_ends as commands
from facility.commands.loose_ends import extend_loose_end, return_loose_end
from facility.models import LooseEnd
from facility.queries.loose_ends import loose_in
from facility.queries.proof import first_breach
from facility.refusals import NotAllowed, NotFound
from tests.cast import NOON, House
from tests.facility.loose import HOUR, extension_of, left, return_of, returned

pytestmark = pytest.mark.django_db


def test_the_list_shows_the_new_time_and_owner_alone(house: House) -> None:
    row = left(house)

    extend_loose_end(extension_of(house, row), by=house.ana, at=NOON + HOUR)

    (one,) = loose_in(house.site, NOON + 3 * HOUR)
    assert (one.due_back_at, one.owner_name, one.since) == (NOON + 9 * HOUR, "Mo Tarrant", NOON)
    assert not one.is_overdue
    assert LooseEnd.objects.count() == 2
    assert first_breach(house.site) is None


def test_it_is_put_right_by_its_latest_row(house: House) -> None:
    row = left(house)
    later = extend_loose_end(extension_of(house, row), by=house.ana, at=NOON + HOUR)

    with pytest.raises(commands.ExtendedBefore):
        return_loose_end(return_of(row, at=NOON + 2 * HOUR), by=house.ana, at=NOON + 2 * HOUR)
    returned(house, later, at=NOON + 2 * HOUR)

    assert loose_in(house.site, NOON + 2 * HOUR) == []


def test_what_was_put_right_or_extended_is_not_extended_again(house: House) -> None:
    extended, done = left(house), left(house)
    extend_loose_end(extension_of(house, extended), by=house.ana, at=NOON)
    returned(house, done)

    with pytest.raises(commands.ExtendedBefore):
        extend_loose_end(extension_of(house, extended), by=house.ana, at=NOON)
    with pytest.raises(commands.ReturnedBefore):
        extend_loose_end(extension_of(house, done), by=house.ana, at=NOON + HOUR)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"reason": " "}, commands.ReasonMissing),
        ({"due_back_at": NOON - timedelta(minutes=1)}, commands.NotALoan),
        ({"owner_id": uuid4()}, commands.UnknownOwner),
        ({"loose_end_id": uuid4()}, NotFound),
    ],
)
def test_it_takes_a_reason_an_owner_and_a_time(
    house: House, changes: dict[str, object], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        extend_loose_end(extension_of(house, left(house), **changes), by=house.ana, at=NOON)  # type: ignore[arg-type]  # each as its field says


def test_delivered_twice_is_extended_once_and_not_by_strangers(house: House) -> None:
    command = extension_of(house, left(house))
    first = extend_loose_end(command, by=house.ana, at=NOON)

    assert extend_loose_end(command, by=house.ana, at=NOON + HOUR) == first
    with pytest.raises(NotFound):
        extend_loose_end(command, by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        extend_loose_end(command, by=house.hale, at=NOON)


def test_the_sheet_holds_what_was_promised(house: House, client: Client) -> None:
    row = left(house)
    client.force_login(house.ana)
    url = reverse("facility:extend-loose-end", args=[row.pk])

    page = client.get(url)
    refused = client.post(url, {"id": str(uuid4()), "due_back_at": "2026-03-29T20:00"})
    kept = client.post(
        url,
        {
            "id": str(uuid4()),
            "due_back_at": "2026-03-29T20:00",
            "owner": str(house.mo.pk),
            "reason": "Not full yet",
        },
    )

    assert 'value="2026-03-29T15:00"' in page.content.decode()
    assert refused.status_code == 422
    assert (kept.status_code, kept["Location"]) == (303, reverse("facility:closing-list"))
    assert LooseEnd.objects.get(corrects=row).owner == house.mo
