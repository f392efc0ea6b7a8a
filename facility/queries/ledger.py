"""The ledger, read: lines about a subject, the head, and a line's own digest."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.apps import apps
from django.db.models import QuerySet

from facility.models import Entry, Person, Site
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


def leaves(site: Site) -> list[bytes]:
    """The digests of the site's lines in order, 32 bytes each: the leaves of its Merkle tree."""
    known = Entry.objects.filter(site=site).order_by("number").values_list("digest", flat=True)
    return [bytes.fromhex(digest_) for digest_ in known]


def lines_about(*keys: str) -> QuerySet[Entry]:
    return Entry.objects.filter(about__in=keys).select_related("by").order_by("site_id", "number")


def lines_seen_by(
    person: Person,
    *,
    site: UUID | None = None,
    about: str = "",
    kind: str = "",
    by: UUID | None = None,
    since: datetime | None = None,
    until: datetime | None = None,
) -> QuerySet[Entry]:
    """Lines of the person's sites, each site's latest first, from ``since`` until ``until``."""
    asked = {
        "site": site,
        "about": about,
        "kind": kind,
        "by": by,
        "recorded_at__gte": since,
        "recorded_at__lt": until,
    }
    wanted = {name: value for name, value in asked.items() if value}
    rows = Entry.objects.open_to(person).filter(**wanted).select_related("by", "site")
    return rows.order_by("site__name", "site_id", "-number")


def subject_names(entries: Iterable[Entry]) -> dict[str, str]:
    """What the lines are about, by key, in one query for each kind of row."""
    keys = {entry.about for entry in entries}
    wanted: dict[str, set[str]] = {}
    for key in keys:
        model, _, pk = key.partition(":")
        wanted.setdefault(model, set()).add(pk)
    return {
        f"{model}:{row.pk}": f"{row._meta.verbose_name} {row}"
        for model, pks in wanted.items()
        for row in apps.get_model(model)._default_manager.filter(pk__in=pks)
    }


def writers(person: Person) -> QuerySet[Person]:
    """Everybody who ever wrote a line at the person's sites."""
    ids = Entry.objects.open_to(person).values("by")
    return Person.objects.filter(pk__in=ids).order_by("full_name", "pk")
