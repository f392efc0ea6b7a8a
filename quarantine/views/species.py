"""Species with their sheets, suppliers, protocols: the lists a manager keeps."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from facility.forms.sheets import Sheet
from facility.models import Site
from facility.paper.csv import csv_text
from facility.queries import people
from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import protocols as protocol_commands
from quarantine.commands import species as commands
from quarantine.commands import suppliers as supplier_commands
from quarantine.forms.species import (
    ProtocolForm,
    SpeciesForm,
    SpeciesListForm,
    SpeciesSheetForm,
    SupplierForm,
)
from quarantine.models import Lot, Protocol, Species, Supplier
from quarantine.paper.inventories import species_table
from quarantine.queries.species import sheet_of, sheets_of, species_at
from quarantine.rules.sheets import FIGURES
from tanks.views.found import site_of


@login_required
@require_GET
def lists(request: SignedRequest) -> HttpResponse:
    """Species, suppliers and protocols of each site."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    now = timezone.now()
    places = [
        {
            "site": site,
            "species": species_at(site, at=now),
            "suppliers": Supplier.objects.filter(site=site).order_by("name"),
            "protocols": Protocol.objects.filter(site=site).order_by("name", "-opened_at"),
            "may": people.deeds_of(request.user, site),
        }
        for site in sites
    ]
    return render(request, "quarantine/lists.html", {"places": places})


@login_required
@require_GET
def show(request: SignedRequest, species_id: UUID) -> HttpResponse:
    species = _species(request, species_id)
    now = timezone.now()
    facts = {
        "species": species,
        "sheet": sheet_of(species, at=now),
        "figures": FIGURES,
        "before": sheets_of(species)[1:],
        "lots": Lot.objects.filter(species=species).order_by("-acquired_at", "code")[:50],
        "may": people.deeds_of(request.user, species.site),
    }
    return render(request, "quarantine/species.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def species_list(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """The site's list as CSV; a manager's own list taken in."""
    site = site_of(request, site_id)
    if request.method == "GET" and "csv" in request.GET:
        text = csv_text(species_table(species_at(site, at=timezone.now())))
        named = 'attachment; filename="species.csv"'
        return HttpResponse(
            text, content_type="text/csv; charset=utf-8", headers={"Content-Disposition": named}
        )
    sheet = SpeciesListForm(request.POST or None, request.FILES or None)
    if request.method == "POST":
        require(request, "quarantine.set-species-sheet", site)
        sheet = SpeciesListForm(request.POST, request.FILES)
        if sheet.is_valid() and _taken_in(request, sheet, site):
            return see_other(resolve_url("quarantine:lists"))
    facts = {
        "form": sheet,
        "site": site,
        "may": people.may(request.user, "quarantine.set-species-sheet", site),
    }
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "quarantine/species_list.html", facts, status=status)


@login_required
@require_http_methods(["GET", "POST"])
def describe_species(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.describe-species", site)
    sheet = SpeciesForm(request.POST or None)
    if sheet.is_valid() and (
        species := carry_out(
            commands.describe_species, sheet.command(site), request=request, on=sheet
        )
    ):
        return see_other(resolve_url("quarantine:species", species.pk))
    return _page(request, sheet, "Put a species on the list", "", "Put it on the list")


@login_required
@require_http_methods(["GET", "POST"])
def set_species_sheet(request: SignedRequest, species_id: UUID) -> HttpResponse:
    species = _species(request, species_id)
    require(request, "quarantine.set-species-sheet", species.site)
    now = sheet_of(species, at=timezone.now())
    names = (*(figure.name for figure in FIGURES), "care_class", "permit_needs", "note", "source")
    initial = {name: getattr(now, name) for name in names} if now else {}
    sheet = SpeciesSheetForm(request.POST or None, initial=initial)
    if sheet.is_valid() and carry_out(
        commands.set_species_sheet, sheet.command(species), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:species", species.pk))
    sub = "It holds from now on; the sheet before stays to be read. Empty is not known."
    return _page(request, sheet, f"Sheet of {species.scientific_name}", sub, "Set the sheet")


@login_required
@require_http_methods(["GET", "POST"])
def add_supplier(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.add-supplier", site)
    sheet = SupplierForm(request.POST or None)
    if sheet.is_valid() and carry_out(
        supplier_commands.add_supplier, sheet.command(site), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:lists"))
    return _page(request, sheet, "Put a supplier on the list", "", "Put them on the list")


@login_required
@require_POST
def retire_supplier(request: SignedRequest, supplier_id: UUID) -> HttpResponse:
    known = Supplier.objects.open_to(request.user).select_related("site")
    supplier = get_object_or_404(known, pk=supplier_id)
    require(request, "quarantine.retire-supplier", supplier.site)
    command = supplier_commands.RetireSupplier(supplier_id=supplier.pk)
    give = supplier_commands.retire_supplier
    carry_out(give, command, request=request, on=Sheet(request.POST))
    return see_other(resolve_url("quarantine:lists"))


@login_required
@require_http_methods(["GET", "POST"])
def set_protocol(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.set-protocol", site)
    sheet = ProtocolForm(request.POST or None)
    if sheet.is_valid() and carry_out(
        protocol_commands.set_protocol, sheet.command(site), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:lists"))
    sub = "Guidance on acclimation disagrees: write down how your site does it. Boxes name it."
    return _page(request, sheet, "A protocol of acclimation", sub, "Keep it")


def _taken_in(request: SignedRequest, sheet: SpeciesListForm, site: Site) -> bool:
    """Give every line's commands; what is there already is found."""
    told = list(sheet.commands(site))
    known = set(Species.objects.filter(site=site).values_list("pk", flat=True))
    for describe, figures in told:
        if describe.id not in known and not carry_out(
            commands.describe_species, describe, request=request, on=sheet
        ):
            return False
        if figures and not carry_out(
            commands.set_species_sheet, figures, request=request, on=sheet
        ):
            return False
    messages.success(request, f"{len(told)} species taken in.", extra_tags="done")
    return True


def _species(request: SignedRequest, species_id: UUID) -> Species:
    known = Species.objects.open_to(request.user).select_related("site")
    species: Species = get_object_or_404(known, pk=species_id)
    timezone.activate(species.site.zone)
    return species


def _page(request: SignedRequest, sheet: Form, title: str, sub: str, verb: str) -> HttpResponse:
    cancel: Any = resolve_url("quarantine:lists")
    return sheet_page(request, sheet, title=title, sub=sub, verb=verb, cancel=cancel)
