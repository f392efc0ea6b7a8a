"""Nobody is shown a way that ends in a refusal: every link on a page opens for who sees it."""

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from facility.models import Person
from tanks.commands.devices import SwitchDevice, switch_device
from tests.cast import House
from tests.tanks.estate import device_on
from tests.tanks.proving import DAY, Proving
from tests.tanks.startups import signed_in, under_way


@pytest.fixture
def known(house: House) -> Proving:
    """A start-up where readings are due, and a device is off for longer than was said."""
    known = under_way(house)
    known.read("TAN", "2.0", at=known.cycle.started_at + DAY)
    device = device_on(house, known.vessel, kind="SKIMMER", name="Skimmer")
    device_on(house, known.vessel)
    now = timezone.now()
    off = SwitchDevice(
        id=uuid4(),
        device_id=device.pk,
        is_on=False,
        why="seeding",
        due_back_at=now - timedelta(hours=1),
        owner_id=house.ana.pk,
        happened_at=now - timedelta(hours=2),
    )
    switch_device(off, by=house.ana, at=now - timedelta(hours=2))
    return known


@pytest.mark.parametrize("who", ["mo", "ana", "vera", "hale"])
def test_every_link_opens_for_whoever_sees_it(known: Proving, who: str) -> None:
    person: Person = getattr(known.house, who)
    client = signed_in(person)
    pages = (
        "/",
        "/today/",
        "/estate/",
        "/labels/",
        "/shelf/",
        "/methods/",
        "/ledger/",
        f"/tanks/{known.vessel.pk}/",
        f"/tanks/{known.vessel.pk}/set-up/",
        f"/waters/{known.vessel.pk}/",
        f"/waters/{known.vessel.pk}/gate/",
        f"/cycles/{known.cycle.pk}/",
        f"/cycles/{known.cycle.pk}/plan/",
    )
    links = {
        link: page
        for page in pages
        for link in re.findall(r'href="(/[^"#]*)', client.get(page).content.decode())
        if not link.startswith("/static/")
    }

    shut = {
        f"{page}: {link}": status
        for link, page in links.items()
        if (status := client.get(link.replace("&amp;", "&")).status_code) >= 400
    }

    assert len(links) > 10
    assert shut == {}
