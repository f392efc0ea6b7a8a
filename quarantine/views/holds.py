"""Put on hold, lift a hold, and everything that is on hold."""

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from facility.models import Site
from facility.queries import people
from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import holds as commands
from quarantine.forms.stays import HoldSheet, LiftSheet
from quarantine.models import Hold, HoldLift, Lot
from quarantine.queries.holds import hold_open_to, holds_at, site_of, subject_of
from tanks.models import Vessel
from tanks.views.found import vessel_of


@login_required
@require_GET
def every(request: SignedRequest) -> HttpResponse:
    """What is on hold now, where the person works."""
    now = timezone.now()
    places = [
        {
            "site": site,
            "holds": [(one, subject_of(one)) for one in holds_at(site, at=now)],
            "may": people.deeds_of(request.user, site),
        }
        for site in Site.objects.open_to(request.user).order_by("name", "pk")
    ]
    return render(request, "quarantine/holds.html", {"places": places, "now": now})


@login_required
@require_http_methods(["GET", "POST"])
def place_on_water(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    return _place(request, lot=None, vessel=vessel)


@login_required
@require_http_methods(["GET", "POST"])
def place_on_lot(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    return _place(request, lot=lot_of(request, lot_id), vessel=None)


@login_required
@require_GET
def show(request: SignedRequest, hold_id: UUID) -> HttpResponse:
    return _page(request, _found(request, hold_id), LiftSheet())


@login_required
@require_POST
def lift(request: SignedRequest, hold_id: UUID) -> HttpResponse:
    hold = _found(request, hold_id)
    require(request, "quarantine.lift-hold", site_of(hold))
    sheet = LiftSheet(request.POST)
    if sheet.is_valid() and carry_out(
        commands.lift_hold, sheet.command(hold), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:holds"))
    return _page(request, hold, sheet)


def _found(request: SignedRequest, hold_id: UUID) -> Hold:
    """The hold, for whoever may see it; its site's clock is put on."""
    hold = hold_open_to(request.user, hold_id)
    if hold is None:
        raise Http404
    timezone.activate(site_of(hold).zone)
    return hold


def _page(request: SignedRequest, hold: Hold, sheet: LiftSheet) -> HttpResponse:
    facts = {
        "hold": hold,
        "subject": subject_of(hold),
        "lifted": HoldLift.objects.filter(hold=hold).select_related("by").first(),
        "form": sheet,
        "may_lift": people.may(request.user, "quarantine.lift-hold", site_of(hold)),
        "cancel": resolve_url("quarantine:holds"),
    }
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "quarantine/lift_hold.html", facts, status=status)


def lot_of(request: SignedRequest, lot_id: UUID) -> Lot:
    """The lot, for whoever may see it; its site's clock is put on."""
    known = Lot.objects.open_to(request.user).select_related("site", "species", "consignment")
    lot = get_object_or_404(known, pk=lot_id)
    timezone.activate(lot.site.zone)
    return lot


def _place(request: SignedRequest, *, lot: Lot | None, vessel: Vessel | None) -> HttpResponse:
    subject = lot or vessel
    assert subject is not None  # noqa: S101  one of the two addresses names it
    require(request, "quarantine.place-hold", subject.site)
    sheet = HoldSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.place_hold, sheet.command(lot=lot, vessel=vessel), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:holds"))
    what = subject.code if lot else f"the water of {subject.code}"
    return sheet_page(
        request,
        sheet,
        title=f"Put {what} on hold",
        sub="Until somebody lifts it, it is not sold, released, moved out or joined.",
        verb="Put on hold",
        cancel=resolve_url("quarantine:holds"),
    )
