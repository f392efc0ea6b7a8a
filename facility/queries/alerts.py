"""What calls somebody now, what was seen in it, and which planned work keeps it quiet."""

from collections.abc import Collection, Iterable
from datetime import datetime

from django.db.models import F, Prefetch, QuerySet

from facility.models import Alert, Maintenance, Person, Sign, Site
from facility.rules.alerts import REMEMBERED, Cleared, Seen
from facility.sockets.subjects import Place, alike, places_of


def alerts_seen_by(person: Person) -> QuerySet[Alert]:
    """Every alert of the person's sites, with its people and signs."""
    rows = Alert.objects.open_to(person)
    return with_signs(rows)


def with_signs(rows: QuerySet[Alert]) -> QuerySet[Alert]:
    """Signs come most pressing first, those that passed last."""
    signs = Sign.objects.order_by(F("passed_at").asc(nulls_first=True), "level", "seen_at", "pk")
    people = ("site", "area", "owner", "backup", "accepted_by", "cleared_by")
    return rows.select_related(*people).prefetch_related(Prefetch("signs", signs))


def standing_at(site: Site, *, abouts: Collection[str] | None = None) -> list[Alert]:
    """What stands now, most pressing first; only about these subjects if any are given."""
    rows = with_signs(Alert.objects.filter(site=site, cleared_at=None))
    wanted = rows if abouts is None else rows.filter(about__in=abouts)
    return list(wanted.order_by("level", "raised_at", "pk"))


def signs_now(alert: Alert) -> list[Sign]:
    """The signs that have not passed."""
    return [sign for sign in alert.signs.all() if sign.passed_at is None]


def seen_of(sign: Sign) -> Seen:
    return Seen(
        rule=sign.rule,
        level=sign.level,
        sentence=sign.sentence,
        advice=sign.advice,
        source=sign.source,
        evidence=tuple(sign.evidence),
    )


def lately_cleared(site: Site, about: str, *, at: datetime) -> list[Cleared]:
    """Signs of alerts about the subject that got a cause not long ago."""
    rows = Sign.objects.filter(
        alert__site=site, alert__about=about, alert__cleared_at__gt=at - REMEMBERED
    )
    return [
        Cleared(
            rule=row.rule,
            level=row.level,
            evidence=frozenset(row.evidence),
            cleared_at=row.alert.cleared_at,
        )
        for row in rows.select_related("alert").order_by("seen_at", "pk")
        if row.alert.cleared_at is not None
    ]


def maintenance_of(abouts: Iterable[str], *, at: datetime) -> Maintenance | None:
    """The planned work under way at that moment on one of these subjects, the last to end."""
    rows = Maintenance.objects.current().filter(about__in=list(abouts), period__contains=at)
    return rows.select_related("by", "site").order_by("-period__endswith", "pk").first()


def maintained(site: Site, *, at: datetime) -> dict[str, Maintenance]:
    """All planned work under way at the site, by subject."""
    rows = Maintenance.objects.current().filter(site=site, period__contains=at)
    rows = rows.select_related("by").order_by("period__endswith", "pk")
    return {row.about: row for row in rows}


def cleared_since(site: Site, since: datetime) -> list[Alert]:
    rows = with_signs(Alert.objects.filter(site=site, cleared_at__gte=since))
    return list(rows.order_by("-cleared_at", "pk"))


def around(alert: Alert, *, at: datetime) -> frozenset[str]:
    """The subjects whose planned work explains the alert: its water, its area, the site."""
    beside = {f"facility.site:{alert.site_id}", f"facility.area:{alert.area_id}"}
    return alike(alert.about, at) | beside


def maintained_places(site: Site, *, at: datetime) -> list[tuple[Place, Maintenance]]:
    """Planned work under way at the site with the place it is about, the first to end first."""
    rows = maintained(site, at=at)
    places = places_of(rows.keys())
    return [(places[about], row) for about, row in rows.items() if about in places]


def alerts_about(abouts: Collection[str]) -> list[Alert]:
    """What stands about any of these subjects, most pressing first."""
    rows = with_signs(Alert.objects.filter(about__in=abouts, cleared_at=None))
    return list(rows.order_by("level", "raised_at", "pk"))
