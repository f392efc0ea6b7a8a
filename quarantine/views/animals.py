"""The animals of a house: where they are now, or were at any moment; one lot with its book."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from facility.models import Site
from facility.paper.csv import csv_text
from facility.queries import people
from facility.views.signed import SignedRequest
from quarantine.forms.lots import InventoryForm
from quarantine.models import Lot
from quarantine.paper.inventories import inventory_table
from quarantine.queries.books import lots_at
from quarantine.queries.lots import story_of
from tanks.views.found import site_of


@login_required
@require_GET
def animals(request: SignedRequest) -> HttpResponse:
    """Which lot is where, site by site; ``?at=`` and ``?known=`` by each site's own clock."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    places = [_place(request, site) for site in sites]
    facts = {"places": places, "form": InventoryForm(request.GET or None)}
    return render(request, "quarantine/animals.html", facts)


@login_required
@require_GET
def inventory(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """The inventory of a site as CSV, under Darwin Core's terms."""
    site = site_of(request, site_id)
    at, known = _moments(request, site)
    rows = lots_at(site, at=at or timezone.now(), as_recorded_at=known)
    text = csv_text(inventory_table(rows, site, at=at or timezone.now(), known=known))
    named = f'attachment; filename="inventory-{site.pk}.csv"'
    return HttpResponse(
        text, content_type="text/csv; charset=utf-8", headers={"Content-Disposition": named}
    )


@login_required
@require_GET
def lot(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    """What a lot's label leads to: how many, where, what became of the others."""
    row = lot_of(request, lot_id)
    story = story_of(row, at=timezone.now())
    facts = {
        "story": story,
        "lot": row,
        "may": people.deeds_of(request.user, row.site),
        "sheet": row.species.sheets.filter(period__contains=timezone.now()).first(),
    }
    return render(request, "quarantine/lot.html", facts)


def lot_of(request: SignedRequest, lot_id: UUID) -> Lot:
    """The lot, for whoever may see it, with its site's clock put on."""
    known = Lot.objects.open_to(request.user)
    row: Lot = get_object_or_404(
        known.select_related("site", "species__site", "supplier", "consignment"), pk=lot_id
    )
    timezone.activate(row.site.zone)
    return row


def _place(request: SignedRequest, site: Site) -> dict[str, Any]:
    at, known = _moments(request, site)
    held = lots_at(site, at=at or timezone.now(), as_recorded_at=known)
    return {
        "site": site,
        "held": held,
        "count": sum(one.count for one in held),
        "lots": len({one.lot.pk for one in held}),
        "at": at,
        "known": known,
        "may": people.deeds_of(request.user, site),
    }


def _moments(request: SignedRequest, site: Site) -> tuple[datetime | None, datetime | None]:
    with timezone.override(site.zone):
        sheet = InventoryForm(request.GET)
        sheet.is_valid()
        return sheet.cleaned_data.get("at"), sheet.cleaned_data.get("known")
