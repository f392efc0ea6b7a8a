from datetime import UTC, datetime

import pytest
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from facility.models import Membership, Person, Site
from facility.views.clock import on_site_time

NOON = datetime(2026, 10, 25, 12, 0, tzinfo=UTC)

pytestmark = pytest.mark.django_db


def zone_seen_by(user: Person | AnonymousUser) -> str:
    request = HttpRequest()
    request.user = user
    name = on_site_time(lambda _: HttpResponse(timezone.get_current_timezone_name()))(request)
    return name.content.decode()


def test_a_page_is_made_by_the_clock_of_the_site() -> None:
    ana = Person.objects.create(username="ana", full_name="Ana Brandt", initials="AB")
    for name, zone in (("Quay", "Asia/Tokyo"), ("Canal Yard", "America/New_York")):
        site = Site.objects.create(name=name, time_zone=zone, jurisdiction="none", opened_at=NOON)
        Membership.objects.create(person=ana, site=site, role="STAFF", since=NOON)

    assert zone_seen_by(ana) == "America/New_York"
    assert timezone.get_current_timezone_name() == "UTC"


def test_without_a_place_the_clock_is_utc() -> None:
    bo = Person.objects.create(username="bo", full_name="Bo Lund", initials="BL")

    assert zone_seen_by(bo) == "UTC"
    assert zone_seen_by(AnonymousUser()) == "UTC"
