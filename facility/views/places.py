from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_http_methods

from facility.commands import places
from facility.forms.places import AreaSheet, SiteSheet
from facility.models import Site
from facility.queries import people
from facility.views.answers import onward, see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require


@login_required
@require_http_methods(["GET", "POST"])
def open_site(request: SignedRequest) -> HttpResponse:
    if not people.may_somewhere(request.user, "facility.open-site"):
        raise PermissionDenied
    sheet = SiteSheet(request.POST or None)
    if sheet.is_valid() and carry_out(places.open_site, sheet.command(), request=request, on=sheet):
        return see_other(onward(request))
    return sheet_page(
        request,
        sheet,
        title="Add a site",
        sub="One address with one clock, one jurisdiction and one ledger. You become its manager.",
        verb="Add the site",
        cancel=onward(request),
    )


@login_required
@require_http_methods(["GET", "POST"])
def open_area(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    require(request, "facility.open-area", site)
    sheet = AreaSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        places.open_area, sheet.command(site), request=request, on=sheet
    ):
        return see_other(onward(request))
    return sheet_page(
        request,
        sheet,
        title="Add an area",
        sub=f"At {site.name}.",
        verb="Add the area",
        cancel=onward(request),
    )
