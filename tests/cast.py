"""A fixed cast in a fixed house.

Ana keeps, Mo manages, Vera is the veterinarian, Hale audits, Bo is a stranger.
Noon is on the day the clocks change.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final
from uuid import uuid4

import pytest
from django.core.cache import caches

from facility.commands.people import InvitePerson, found_person, invite_person
from facility.commands.places import OpenArea, OpenSite, open_area, open_site
from facility.models import Area, Person, Site
from tanks.commands.policies import AdoptDefaults, adopt_defaults

NOON: Final = datetime(2026, 3, 29, 12, tzinfo=UTC)
PASSWORD: Final = "heron-lantern-27"


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    site: Site
    area: Area
    mo: Person
    ana: Person
    vera: Person
    hale: Person
    bo: Person


@pytest.fixture
def house(db: None) -> House:
    # Wrong passwords of earlier tests are counted there for ten minutes.
    caches["default"].clear()
    return build_house()


def build_house() -> House:
    mo = found_person(username="mo", full_name="Mo Tarrant", initials="MT", password=PASSWORD)
    site = open_site(
        OpenSite(id=uuid4(), name="Kestrel Yard", time_zone="Europe/Lisbon", jurisdiction="PT"),
        by=mo,
        at=NOON,
    )
    adopt_defaults(AdoptDefaults(id=uuid4(), site_id=site.pk), by=mo, at=NOON)
    area = open_area(
        OpenArea(id=uuid4(), site_id=site.pk, name="Front room", hygiene_rank=1), by=mo, at=NOON
    )
    return House(
        site=site,
        area=area,
        mo=mo,
        ana=_invited("ana", "Ana Quill", "AQ", "STAFF", site, mo),
        vera=_invited("vera", "Vera Lund", "VL", "VETERINARIAN", site, mo),
        hale=_invited("hale", "Hale Brandt", "HB", "AUDITOR", site, mo),
        bo=found_person(username="bo", full_name="Bo Reyes", initials="BR", password=PASSWORD),
    )


def _invited(username: str, name: str, initials: str, role: str, site: Site, by: Person) -> Person:
    membership = invite_person(
        InvitePerson(
            id=uuid4(),
            site_id=site.pk,
            username=username,
            full_name=name,
            initials=initials,
            role=role,
            password=PASSWORD,
        ),
        by=by,
        at=NOON,
    )
    return membership.person
