"""Consignments: expected, opened box by box, claimed for, labelled."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from facility.forms.sheets import Sheet
from facility.models import Entry, Photo, Site
from facility.paper.draw import draw
from facility.queries import people
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import consignments as commands
from quarantine.forms.consignments import AmendForm, ConsignmentForm, PaperForm
from quarantine.models import Consignment
from quarantine.paper.claims import claim
from quarantine.queries.consignments import Arrival, arrival_of, consignments_at
from tanks.views.found import site_of


@login_required
@require_GET
def consignments(request: SignedRequest) -> HttpResponse:
    """What is on its way and what has come, site by site."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    places = [
        {
            "site": site,
            "rows": consignments_at(site),
            "may": people.deeds_of(request.user, site),
        }
        for site in sites
    ]
    return render(request, "quarantine/consignments.html", {"places": places})


@login_required
@require_GET
def consignment(request: SignedRequest, consignment_id: UUID) -> HttpResponse:
    row = consignment_of(request, consignment_id)
    facts = {
        "arrival": arrival_of(row, at=timezone.now()),
        "consignment": row,
        "may": people.deeds_of(request.user, row.site),
    }
    return render(request, "quarantine/consignment.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def announce_consignment(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.announce-consignment", site)
    sheet = ConsignmentForm(request.POST or None, site=site)
    if sheet.is_valid() and (
        row := carry_out(commands.announce_consignment, sheet.command(), request=request, on=sheet)
    ):
        return see_other(resolve_url("quarantine:consignment", row.pk))
    return sheet_page(
        request,
        sheet,
        title="Announce a consignment",
        sub="A supplier who is not offered is put on the list of suppliers first.",
        verb="Announce it",
        cancel=resolve_url("quarantine:consignments"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def amend_consignment(request: SignedRequest, consignment_id: UUID) -> HttpResponse:
    row = consignment_of(request, consignment_id)
    require(request, "quarantine.amend-consignment", row.site)
    known = ("expected_at", "departed_at", "origin_country")
    sheet = AmendForm(request.POST or None, initial={name: getattr(row, name) for name in known})
    if sheet.is_valid() and carry_out(
        commands.amend_consignment, sheet.command(row), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:consignment", row.pk))
    return _sheet(request, row, sheet, title=f"Put {row.reference} right", verb="Save")


@login_required
@require_http_methods(["GET", "POST"])
def add_paper(request: SignedRequest, consignment_id: UUID) -> HttpResponse:
    row = consignment_of(request, consignment_id)
    require(request, "quarantine.add-paper", row.site)
    sheet = PaperForm(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.add_paper, sheet.command(row), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:consignment", row.pk))
    return _sheet(request, row, sheet, title=f"A paper of {row.reference}", verb="Keep it")


@login_required
@require_POST
def close_consignment(request: SignedRequest, consignment_id: UUID) -> HttpResponse:
    row = consignment_of(request, consignment_id)
    require(request, "quarantine.close-consignment", row.site)
    command = commands.CloseConsignment(consignment_id=row.pk)
    if carry_out(commands.close_consignment, command, request=request, on=Sheet(request.POST)):
        messages.success(request, f"{row.reference} is closed.", extra_tags="done")
    return see_other(resolve_url("quarantine:consignment", row.pk))


@login_required
@never_cache
@require_GET
def claim_paper(request: SignedRequest, consignment_id: UUID) -> HttpResponse:
    """The claim file as PDF; the same record gives the same bytes."""
    row = consignment_of(request, consignment_id)
    arrival = arrival_of(row, at=timezone.now())
    head = Entry.objects.filter(about=f"quarantine.consignment:{row.pk}").latest("number")
    pdf = draw(claim(arrival, head=head, pictures=_pictures(arrival)))
    named = f'inline; filename="claim-{row.pk}.pdf"'
    return HttpResponse(pdf, content_type="application/pdf", headers={"Content-Disposition": named})


def consignment_of(request: SignedRequest, consignment_id: UUID) -> Consignment:
    """The consignment, for whoever may see it, with its site's clock put on."""
    known = Consignment.objects.open_to(request.user).select_related("site", "supplier")
    row: Consignment = get_object_or_404(known, pk=consignment_id)
    timezone.activate(row.site.zone)
    return row


def _pictures(arrival: Arrival) -> dict[str, bytes]:
    ids = [photo.pk for one in arrival.boxes for photo in one.photos]
    rows = Photo.objects.filter(pk__in=ids).values_list("pk", "jpeg")
    return {str(pk): bytes(jpeg) for pk, jpeg in rows}


def _sheet(
    request: SignedRequest, row: Consignment, sheet: Any, *, title: str, verb: str
) -> HttpResponse:
    return sheet_page(
        request,
        sheet,
        title=title,
        sub=f"{row.supplier.name}, {row.site.name}",
        verb=verb,
        cancel=resolve_url("quarantine:consignment", row.pk),
    )
