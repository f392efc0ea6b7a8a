"""Where a person works now, and as what."""

from facility.models import Membership, Person


def now_of(person: Person) -> list[Membership]:
    """Return the person's open memberships with their sites, by the site's name."""
    held = Membership.objects.filter(person=person, until=None).select_related("site")
    return list(held.order_by("site__name", "pk"))
