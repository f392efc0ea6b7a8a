"""Where a person works now, and as what."""

from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from facility.models import Membership, Person, Site
from facility.sockets.deeds import KEEPERS


def now_of(person: Person) -> list[Membership]:
    """Return the person's open memberships with their sites, by the site's name."""
    held = Membership.objects.filter(person=person, until=None).select_related("site")
    return list(held.order_by("site__name", "pk"))


def zone_of(person: Person) -> ZoneInfo | None:
    """Return the zone of the first site, by name, where the person works now."""
    site = Site.objects.open_to(person).order_by("name", "pk").first()
    return site.zone if site else None


def people_at(site: Site) -> QuerySet[Person]:
    """Everybody who works at the site now, by name."""
    here = Person.objects.filter(memberships__site=site, memberships__until=None, is_active=True)
    return here.order_by("full_name", "pk")


def keepers_at(site: Site) -> QuerySet[Person]:
    """Those of them whose role it is to work on the tanks."""
    held = Membership.objects.filter(site=site, until=None, role__in=KEEPERS)
    return people_at(site).filter(pk__in=held.values("person"))


def staff_of(site: Site) -> list[Membership]:
    """Every open membership of the site with its person, by name."""
    held = Membership.objects.filter(site=site, until=None).select_related("person")
    return list(held.order_by("person__full_name", "pk"))
