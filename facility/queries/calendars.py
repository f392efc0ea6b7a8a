"""Which person's rounds an address leads to."""

from facility.models import Calendar, Membership
from facility.queries.handsets import digest_of


def calendar_at(token: str) -> Calendar | None:
    """Return the open calendar of somebody who still works there; None for any other address."""
    held = Calendar.objects.filter(token_sha256=digest_of(token), closed_at=None)
    calendar = held.select_related("site", "person").first()
    if calendar is None or not calendar.person.is_active:
        return None
    here = Membership.objects.filter(site=calendar.site, person=calendar.person, until=None)
    return calendar if here.exists() else None
