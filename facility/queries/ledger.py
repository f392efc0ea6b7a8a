"""The ledger, read: lines about a subject, the head, and a line's own digest."""

from django.db.models import QuerySet

from facility.models import Entry, Site
from facility.rules.canonical import FIRST_PREVIOUS, digest


def line_digest(entry: Entry) -> str:
    """SHA-256 over everything the line says, the previous digest included."""
    return digest(
        {
            "site": entry.site_id,
            "number": entry.number,
            "kind": entry.kind,
            "about": entry.about,
            "facts": entry.facts,
            "happened_at": entry.happened_at,
            "recorded_at": entry.recorded_at,
            "by": entry.by_id,
            "previous": entry.previous,
        }
    )


def head_digest(site: Site) -> str:
    """The digest of the site's latest line; 64 zeros for an empty ledger."""
    latest = Entry.objects.filter(site=site).order_by("-number").first()
    return latest.digest if latest else FIRST_PREVIOUS


def lines_about(*keys: str) -> QuerySet[Entry]:
    return Entry.objects.filter(about__in=keys).select_related("by").order_by("site_id", "number")
