"""A manager sets the start-up policy; what is under way keeps the one it began under."""

from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands.policies import PolicyUnsound, SetPolicy, SourceMissing, set_policy
from tanks.models import Policy
from tanks.queries.policies import policy_at
from tanks.rules.defaults import POLICY
from tests.cast import NOON, House

LATER = NOON + timedelta(days=3)


def asked(house: House, **changes: Any) -> SetPolicy:
    told: dict[str, Any] = {
        "id": uuid4(),
        "site_id": house.site.pk,
        "source": "the curator, minute 12",
    }
    return SetPolicy(**(told | POLICY | changes))


def test_new_policy_holds_from_its_moment_and_the_old_one_until_then(house: House) -> None:
    set_policy(asked(house, tan_cap_mg_l_n=Decimal(4)), by=house.mo, at=LATER)

    before = policy_at(house.site, at=LATER - timedelta.resolution)
    after = policy_at(house.site, at=LATER)

    assert before is not None
    assert after is not None
    assert (before.tan_cap_mg_l_n, after.tan_cap_mg_l_n) == (Decimal(5), Decimal(4))
    assert after.source == "the curator, minute 12"
    assert not after.is_verified
    line = Entry.objects.get(kind="tanks.set-policy")
    assert len(line.facts["rows"]) == 2


def test_twice_delivered_is_set_once(house: House) -> None:
    command = asked(house)
    set_policy(command, by=house.mo, at=LATER)

    set_policy(command, by=house.mo, at=LATER + timedelta(minutes=1))

    assert Policy.objects.filter(site=house.site).count() == 2
    with pytest.raises(IdTaken):
        set_policy(asked(house, id=command.id, unfed_days=Decimal(5)), by=house.mo, at=LATER)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"passes_needed": 1}, "passes_needed"),
        ({"dose_mg_l_n": Decimal(6)}, "dose_mg_l_n"),
        ({"temperature_low_c": Decimal(31)}, "temperature_low_c"),
        ({"challenge_limit_mg_l_n": Decimal(0)}, "challenge_limit_mg_l_n"),
    ],
)
def test_contradictory_figures_are_refused_by_name(
    house: House, changes: dict[str, Any], field: str
) -> None:
    with pytest.raises(PolicyUnsound) as refusal:
        set_policy(asked(house, **changes), by=house.mo, at=LATER)

    assert refusal.value.field == field
    assert Policy.objects.filter(site=house.site).count() == 1


def test_figures_without_a_source_are_refused(house: House) -> None:
    with pytest.raises(SourceMissing):
        set_policy(asked(house, source=" "), by=house.mo, at=LATER)


def test_staff_may_not_and_a_stranger_finds_no_site(house: House) -> None:
    with pytest.raises(NotAllowed):
        set_policy(asked(house), by=house.ana, at=LATER)
    with pytest.raises(NotFound):
        set_policy(asked(house), by=house.bo, at=LATER)


def test_page_shows_every_limit_with_its_source_and_mark(house: House, client: Client) -> None:
    client.force_login(house.hale)

    page = client.get(reverse("tanks:policies")).content.decode()

    assert "Ambient Water Quality Criteria for Chlorine" in page
    assert "not verified" in page
    assert "Set the policy anew" not in page


def test_sheet_keeps_what_was_typed_and_names_the_field(house: House, client: Client) -> None:
    client.force_login(house.mo)
    address = reverse("tanks:set-policy", args=[house.site.pk])
    typed = {name: str(value) for name, value in POLICY.items()} | {"id": str(uuid4())}

    refused = client.post(address, typed | {"dose_mg_l_n": "6", "source": "minute 12"})
    accepted = client.post(address, typed | {"source": "minute 12"})

    assert refused.status_code == 422
    assert "must not be above" in refused.content.decode()
    assert 'value="6"' in refused.content.decode()
    assert accepted.status_code == 303
