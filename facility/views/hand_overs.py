"""From one shift to the next: what changed, what is open, who is on call, what to leave alone."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.commands import hand_overs as commands
from facility.forms.hand_overs import HandOverSheet
from facility.models import Alert, HandOver, HygieneBreak, Shift, Site
from facility.queries import hand_overs, hygiene, people, work
from facility.queries.changes import Subject, changes
from facility.queries.hand_overs import Since
from facility.queries.loose_ends import loose_in
from facility.queries.work import TaskNow
from facility.rules.standing_in import CALL_FIRST
from facility.sockets.loose_ends import Loose
from facility.sockets.stop_list import Stop, stops_at
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """What is not finished at a site at a moment."""

    site: Site
    loose: list[Loose]
    tasks: list[TaskNow]
    alerts: list[Alert]
    on_call: list[Shift]
    may: frozenset[str]

    @property
    def is_clear(self) -> bool:
        return not (self.loose or self.tasks or self.alerts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Handed:
    """What one site tells whoever comes on."""

    open: Open
    since: Since
    ways: list[Since]
    written: list[HandOver]
    on_site: list[Shift]
    subjects: list[Subject]
    is_cut: bool
    left_out: list[HygieneBreak]


@login_required
@require_GET
def hand_overs_page(request: SignedRequest) -> HttpResponse:
    """``?since=`` chooses how far to look back."""
    now = timezone.now()
    sites = [_handed(request, site, now) for site in _sites(request)]
    return render(request, "facility/hand_overs.html", {"sites": sites, "now": now})


@login_required
@require_http_methods(["GET", "POST"])
def hand_over(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    timezone.activate(site.zone)
    require(request, "facility.hand-over", site)
    sheet = HandOverSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.hand_over, sheet.command(site), request=request, on=sheet
    ):
        messages.success(request, "The next shift will read it.", extra_tags="done")
        return see_other(resolve_url("facility:hand-overs"))
    return sheet_page(
        request,
        sheet,
        title="Write the hand-over",
        sub=f"For {site.name}. It stays in the ledger under your name.",
        verb="Hand over",
        cancel=resolve_url("facility:hand-overs"),
    )


@login_required
@require_GET
def closing_list(request: SignedRequest) -> HttpResponse:
    """What must be put right, or handed over by name, before anybody leaves."""
    now = timezone.now()
    sites = [_open(request, site, now) for site in _sites(request)]
    return render(request, "facility/closing_list.html", {"sites": sites, "now": now})


@login_required
@require_GET
def stop_list(request: SignedRequest) -> HttpResponse:
    """For a stand-in: what to leave alone, what to ask about, whom to call."""
    now = timezone.now()
    sites: list[tuple[Site, list[Stop], list[Shift]]] = [
        (site, stops_at(site.pk, now), hand_overs.on_call(site, at=now)) for site in _sites(request)
    ]
    facts = {"sites": sites, "now": now, "call_first": CALL_FIRST}
    return render(request, "facility/stop_list.html", facts)


def _sites(request: SignedRequest) -> list[Site]:
    return list(Site.objects.open_to(request.user).order_by("name", "pk"))


def _open(request: SignedRequest, site: Site, now: datetime) -> Open:
    alerts = Alert.objects.filter(site=site).standing().select_related("owner", "accepted_by")
    return Open(
        site=site,
        loose=loose_in(site, now),
        tasks=work.undone(site, at=now),
        alerts=list(alerts.order_by("level", "raised_at", "pk")),
        on_call=hand_overs.on_call(site, at=now),
        may=people.deeds_of(request.user, site),
    )


def _handed(request: SignedRequest, site: Site, now: datetime) -> Handed:
    ways = hand_overs.looks_back(site, request.user, at=now)
    asked = request.GET.get("since", "")
    since = next((way for way in ways if way.code == asked), ways[0])
    subjects, is_cut = changes(site, since=since.at, until=now)
    return Handed(
        open=_open(request, site, now),
        since=since,
        ways=ways,
        written=hand_overs.written(site, until=now),
        on_site=hand_overs.on_site(site, at=now),
        subjects=subjects,
        is_cut=is_cut,
        left_out=hygiene.breaks_left_out(site, since=since.at, until=now),
    )
