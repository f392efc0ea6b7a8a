from http import HTTPStatus
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.models import Site
from facility.queries import people
from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import products as commands
from tanks.forms.products import ProductSheet, RetireSheet
from tanks.models import Product
from tanks.queries import products
from tanks.views.found import site_of


@login_required
@require_GET
def shelf(request: SignedRequest) -> HttpResponse:
    """What each site doses with, and what is out of date."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {"places": [_place(request, site) for site in sites]}
    return render(request, "tanks/shelf.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def shelve_product(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "tanks.shelve-product", site)
    sheet = ProductSheet(request.POST or None, site=site)
    if sheet.is_valid() and carry_out(
        commands.shelve_product, sheet.command(), request=request, on=sheet
    ):
        messages.success(request, "It is on the shelf.", extra_tags="done")
        return see_other(resolve_url("tanks:shelf"))
    facts = {"form": sheet, "site": site}
    status: HTTPStatus = status_of(is_bound=sheet.is_bound)
    return render(request, "tanks/shelve_product.html", facts, status=status)


@login_required
@require_http_methods(["GET", "POST"])
def retire_product(request: SignedRequest, product_id: UUID) -> HttpResponse:
    known = Product.objects.filter(site__in=Site.objects.open_to(request.user))
    product = get_object_or_404(known.select_related("site"), pk=product_id)
    timezone.activate(product.site.zone)
    require(request, "tanks.retire-product", product.site)
    sheet = RetireSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.retire_product, sheet.command(product), request=request, on=sheet
    ):
        return see_other(resolve_url("tanks:shelf"))
    return sheet_page(
        request,
        sheet,
        title=f"Take {product} off the shelf",
        sub="Empty, spoiled or mixed up: it is offered no more. What was dosed from it stays.",
        verb="Take it off",
        cancel=resolve_url("tanks:shelf"),
    )


def _place(request: SignedRequest, site: Site) -> dict[str, object]:
    today = timezone.now().astimezone(site.zone).date()
    return {
        "site": site,
        "may": people.deeds_of(request.user, site),
        "kept": [
            (product, products.is_expired(product, on=today)) for product in products.shelf(site)
        ],
    }
