from http import HTTPStatus
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from facility.models import Site
from facility.queries import people
from facility.views.answers import see_other
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import methods as commands
from tanks.forms.methods import MethodSheet
from tanks.models import Method
from tanks.rules.values import PARAMETERS
from tanks.views.found import site_of


@login_required
@require_GET
def methods(request: SignedRequest) -> HttpResponse:
    """How each site measures what."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    rows = Method.objects.filter(site__in=sites, retired_at=None)
    known = list(rows.order_by("parameter", "name", "pk"))
    facts = {
        "sites": [
            {
                "site": site,
                "may": people.may(request.user, "tanks.define-method", site),
                "methods": [method for method in known if method.site_id == site.pk],
            }
            for site in sites
        ],
        "parameters": PARAMETERS.items(),
    }
    return render(request, "tanks/methods.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def define_method(request: SignedRequest, site_id: UUID, parameter: str) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "tanks.define-method", site)
    code = parameter.upper()
    if code not in PARAMETERS:
        raise Http404
    sheet = MethodSheet(request.POST or None, site=site, parameter=code)
    if sheet.is_valid() and carry_out(
        commands.define_method, sheet.command(), request=request, on=sheet
    ):
        messages.success(request, "The method is added.", extra_tags="done")
        return see_other(reverse("tanks:methods"))
    facts = {"form": sheet, "site": site, "parameter": PARAMETERS[code]}
    status = HTTPStatus.UNPROCESSABLE_ENTITY if sheet.is_bound else HTTPStatus.OK
    return render(request, "tanks/define_method.html", facts, status=status)
