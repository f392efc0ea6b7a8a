"""May these animals leave, and enter there? Everything judged at once, and the signature."""

from http import HTTPStatus
from typing import Any
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_POST

from facility.queries import people
from facility.views import signing
from facility.views.answers import see_other
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands.releases import ReleaseLot, release_lot, released_until
from quarantine.forms.stays import ReleaseSheet, WhitherSheet
from quarantine.models import Lot, Release
from quarantine.queries.judging import Judged, judged, judged_out
from quarantine.views.holds import lot_of
from tanks.models import Vessel
from tanks.rules.requirements import MET, NOT_MET, UNKNOWN, Requirement


@login_required
@never_cache
@require_GET
def show(request: SignedRequest, lot_id: UUID, vessel_id: UUID) -> HttpResponse:
    """``?destination=&count=&feed_g_per_day=`` say who goes where; then both ends are judged."""
    lot, vessel = _found(request, lot_id, vessel_id)
    whither = WhitherSheet(request.GET or None, vessel=vessel)
    return _page(request, lot, vessel, whither, ReleaseSheet())


@login_required
@never_cache
@sensitive_post_parameters("password")
@require_POST
def sign(request: SignedRequest, lot_id: UUID, vessel_id: UUID) -> HttpResponse:
    """Who goes where stands in the address, as it was judged on the page."""
    lot, vessel = _found(request, lot_id, vessel_id)
    require(request, "quarantine.release-lot", lot.site)
    whither, sheet = WhitherSheet(request.GET, vessel=vessel), ReleaseSheet(request.POST)
    if (
        whither.is_valid()
        and signing.is_signed(sheet, by=request.user)
        and (
            done := carry_out(
                release_lot, _command(sheet, whither, lot, vessel), request=request, on=sheet
            )
        )
    ):
        return see_other(_onward(request, lot, vessel, done))
    return _page(request, lot, vessel, whither, sheet)


def _found(request: SignedRequest, lot_id: UUID, vessel_id: UUID) -> tuple[Lot, Vessel]:
    """The lot and the vessel, of one site."""
    lot = lot_of(request, lot_id)
    vessels = Vessel.objects.filter(site=lot.site_id).select_related("site", "area")
    return lot, get_object_or_404(vessels, pk=vessel_id)


def _command(sheet: ReleaseSheet, whither: WhitherSheet, lot: Lot, vessel: Vessel) -> ReleaseLot:
    given = whither.cleaned_data
    return sheet.command(
        lot,
        vessel,
        destination=given["destination"],
        count=given["count"],
        feed=given["feed_g_per_day"],
    )


def _judged(whither: WhitherSheet, lot: Lot, vessel: Vessel) -> Judged:
    given = whither.cleaned_data
    return judged(
        lot,
        vessel,
        given["destination"],
        count=given["count"],
        feed_g_per_day=float(given["feed_g_per_day"]),
        at=timezone.now(),
    )


def _onward(request: SignedRequest, lot: Lot, vessel: Vessel, done: Release) -> str:
    """To the move, for those who may record it."""
    if people.may(request.user, "quarantine.move-animals", lot.site):
        return resolve_url("quarantine:move-animals", release_id=done.pk)
    return resolve_url("quarantine:stay", vessel.pk)


def _page(
    request: SignedRequest,
    lot: Lot,
    vessel: Vessel,
    whither: WhitherSheet,
    sheet: ReleaseSheet,
) -> HttpResponse:
    now = timezone.now()
    found = _judged(whither, lot, vessel) if whither.is_valid() else None
    out = found.out if found else judged_out(lot, vessel, count=1, at=now)
    facts = {
        "lot": lot,
        "vessel": vessel,
        "whither": whither,
        "judged": found,
        "out": groups_of(out),
        "into": groups_of(found.into) if found else [],
        "form": sheet,
        "asked": request.GET.urlencode(),
        "now": now,
        "releases": _releases(lot, vessel),
        "may_release": people.may(request.user, "quarantine.release-lot", lot.site),
        "may_move": people.may(request.user, "quarantine.move-animals", lot.site),
    }
    is_wrong = sheet.is_bound or (whither.is_bound and not whither.is_valid())
    status = HTTPStatus.UNPROCESSABLE_ENTITY if is_wrong else HTTPStatus.OK
    return render(request, "quarantine/release_lot.html", facts, status=status)


def groups_of(rows: list[Requirement]) -> list[tuple[str, list[Requirement]]]:
    """What stands in the way first, then what cannot be told, then what is met."""
    titles = ((NOT_MET, "Not met"), (UNKNOWN, "Unknown"), (MET, "Met"))
    groups = ((title, [row for row in rows if row.state == state]) for state, title in titles)
    return [(title, found) for title, found in groups if found]


def _releases(lot: Lot, vessel: Vessel) -> list[dict[str, Any]]:
    rows = Release.objects.current().filter(lot=lot, vessel=vessel)
    known = rows.select_related("by", "destination", "lot__site").prefetch_related("moves__change")
    now = timezone.now()
    return [
        {"row": row, "until": released_until(row), "is_good": now <= released_until(row)}
        for row in known.order_by("-happened_at", "pk")
    ]
