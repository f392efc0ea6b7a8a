"""What is left for a while has an owner, a reason and a time. The house's own rules."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from facility.commands import loose_ends as commands
from facility.commands.deliveries import InTheFuture
from facility.commands.loose_ends import leave_loose_end
from facility.models import Entry, LooseEnd
from facility.queries.loose_ends import loose_about, loose_in, own_duties
from facility.refusals import NotAllowed, NotFound
from tests.cast import NOON, House
from tests.facility.loose import HOUR, left, loose_of, returned
from tests.tanks.estate import vessel_of

pytestmark = pytest.mark.django_db
INSTANT = timedelta(microseconds=1)


def test_it_is_on_the_list_from_then_on_and_overdue_at_its_time(house: House) -> None:
    left(house)

    (early,) = loose_in(house.site, NOON)
    (late,) = loose_in(house.site, NOON + 2 * HOUR)
    assert loose_in(house.site, NOON - INSTANT) == []
    assert (early.what, early.place, early.owner_name) == (
        "Hose fills the rain butt",
        "Front room",
        "Ana Quill",
    )
    assert (early.is_overdue, late.is_overdue) == (False, True)


def test_what_is_due_first_stands_first(house: House) -> None:
    left(house, what="Bath of net A", kind="CONTACT_TIME", due_back_at=NOON + 5 * HOUR)
    left(house, what="Hose")

    assert [one.what for one in loose_in(house.site, NOON)] == ["Hose", "Bath of net A"]


def test_a_tank_shows_its_own_and_no_other(house: House) -> None:
    tank = vessel_of(house)
    left(house, about=f"tanks.vessel:{tank.pk}", what="Hold for sale", kind="HOLD")
    left(house)

    (one,) = loose_about([f"tanks.vessel:{tank.pk}"], NOON)

    assert (one.what, one.url) == ("Hold for sale", reverse("tanks:tank", args=[tank.pk]))
    assert LooseEnd.objects.get(what="Hold for sale").area == house.area


def test_the_ledger_line_is_about_the_tank(house: House) -> None:
    tank = vessel_of(house)
    row = left(house, about=f"tanks.vessel:{tank.pk}")

    line = Entry.objects.latest("pk")
    assert (line.kind, line.about) == ("facility.leave-loose-end", f"tanks.vessel:{tank.pk}")
    assert line.facts["rows"][0]["id"] == str(row.pk)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"kind": "TAP"}, commands.UnknownLooseEnd),
        ({"what": " "}, commands.WhatMissing),
        ({"why": ""}, commands.WhyMissing),
        ({"due_back_at": NOON}, commands.NotALoan),
        ({"owner_id": uuid4()}, commands.UnknownOwner),
        ({"happened_at": NOON + HOUR}, InTheFuture),
        ({"about": f"facility.area:{uuid4()}"}, NotFound),
        ({"about": "no such thing"}, NotFound),
    ],
)
def test_what_is_untold_or_unknown_is_refused(
    house: House, changes: dict[str, Any], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        leave_loose_end(loose_of(house, **changes), by=house.ana, at=NOON)

    assert not LooseEnd.objects.exists()


def test_a_stranger_owns_nothing_and_leaves_nothing(house: House) -> None:
    with pytest.raises(commands.UnknownOwner):
        left(house, owner_id=house.bo.pk)
    with pytest.raises(NotFound):
        leave_loose_end(loose_of(house), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        leave_loose_end(loose_of(house), by=house.hale, at=NOON)


def test_delivered_twice_is_left_once(house: House) -> None:
    command = loose_of(house)
    first = leave_loose_end(command, by=house.ana, at=NOON)

    assert leave_loose_end(command, by=house.ana, at=NOON + HOUR) == first
    assert Entry.objects.filter(kind="facility.leave-loose-end").count() == 1


def test_database_keeps_no_loan_without_an_end(house: House) -> None:
    row = left(house)
    row.pk, row._state.adding, row.due_back_at = uuid4(), True, row.happened_at

    with pytest.raises(IntegrityError, match="looseend_is_a_loan"), transaction.atomic():
        row.save(force_insert=True)


def test_the_sheet_of_a_tank_offers_it_first_and_leads_back(house: House, client: Client) -> None:
    tank = vessel_of(house)
    client.force_login(house.ana)
    url = reverse("facility:leave-loose-end", args=[house.site.pk])
    url += f"?about=tanks.vessel:{tank.pk}"

    page = client.get(url)
    answer = client.post(
        url,
        {
            "id": str(uuid4()),
            "kind": "HOLD",
            "about": f"tanks.vessel:{tank.pk}",
            "what": "Not for sale",
            "why": "Two do not eat",
            "owner": str(house.ana.pk),
            "due_back_at": "2199-03-30T09:00",
            "happened_at": "2026-03-29T13:00",
        },
    )

    assert page.context["form"]["about"].field.choices[0] == (f"tanks.vessel:{tank.pk}", "A-01")
    assert answer.status_code == 303
    assert answer["Location"] == reverse("tanks:tank", args=[tank.pk])
    assert LooseEnd.objects.get().what == "Not for sale"


def test_an_empty_sheet_is_shown_again_with_what_was_typed(house: House, client: Client) -> None:
    client.force_login(house.ana)
    url = reverse("facility:leave-loose-end", args=[house.site.pk])

    refused = client.post(url, {"what": "Fill hose", "why": ""})

    assert refused.status_code == 422
    assert 'value="Fill hose"' in refused.content.decode()


def test_what_was_put_right_is_no_longer_on_the_list(house: House) -> None:
    row = left(house)
    returned(house, row, at=NOON + HOUR)

    assert [one.key for one in loose_in(house.site, NOON + HOUR - INSTANT)] == [
        f"facility.looseend:{row.pk}"
    ]
    assert loose_in(house.site, NOON + HOUR) == []


def test_it_is_todays_work_on_its_day_and_not_before(house: House) -> None:
    tank = vessel_of(house)
    left(house, about=f"tanks.vessel:{tank.pk}", due_back_at=NOON + timedelta(days=1))

    today, tomorrow = (
        list(own_duties(house.site.pk, at)) for at in (NOON, NOON + timedelta(days=1))
    )

    assert today == []
    assert [(one.title, one.vessel_ids) for one in tomorrow] == [
        ("Put right: Hose fills the rain butt", frozenset([tank.pk]))
    ]
