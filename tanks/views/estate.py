from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.forms.sheets import CommandSheet
from facility.models import Site
from facility.queries import people
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands.policies import AdoptDefaults, adopt_defaults
from tanks.queries.estate import estate
from tanks.views.found import site_of


@login_required
@require_GET
def show(request: SignedRequest) -> HttpResponse:
    """One site at a time; ``?site=`` chooses among those the person belongs to."""
    sites = list(Site.objects.open_to(request.user).order_by("name", "pk"))
    site = _chosen(request, sites)
    facts = {"sites": sites, "may_add_site": _may_add_site(request)}
    if site is not None:
        timezone.activate(site.zone)
        facts |= {
            "site": site,
            "estate": estate(site, at=timezone.now()),
            "may": people.deeds_of(request.user, site),
        }
    return render(request, "tanks/estate.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def adopt(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "tanks.adopt-defaults", site)
    sheet = CommandSheet(request.POST or None)
    here = f"{resolve_url('tanks:estate')}?site={site.pk}"
    if sheet.is_valid() and _adopted(request, site, sheet):
        return see_other(here)
    return sheet_page(
        request,
        sheet,
        title="Adopt the shipped policy and limits",
        sub=f"{site.name} gets a start-up policy and limits of its own, each with its source. "
        "Most are common practice and nobody has verified them for you: review them.",
        verb="Adopt them",
        cancel=here,
    )


def _chosen(request: SignedRequest, sites: list[Site]) -> Site | None:
    wanted = request.GET.get("site")
    if not wanted:
        return sites[0] if sites else None
    return get_object_or_404(Site, pk__in=[site.pk for site in sites if str(site.pk) == wanted])


def _may_add_site(request: SignedRequest) -> bool:
    return people.may_somewhere(request.user, "facility.open-site")


def _adopted(request: SignedRequest, site: Site, sheet: Form) -> bool:
    command = AdoptDefaults(id=sheet.cleaned_data["id"], site_id=site.pk)
    return carry_out(adopt_defaults, command, request=request, on=sheet) is not None
