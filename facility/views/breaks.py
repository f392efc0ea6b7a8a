from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.commands import breaks
from facility.forms.breaks import BreakSheet
from facility.models import Site
from facility.views.answers import onward, see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require


@login_required
@require_http_methods(["GET", "POST"])
def take_break(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """Answer the question a page has asked, and go on with that page."""
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    timezone.activate(site.zone)
    require(request, "facility.take-break", site)
    sheet = BreakSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        breaks.take_break, sheet.command(site), request=request, on=sheet
    ):
        messages.success(request, "Noted. Go on.", extra_tags="done")
        return see_other(onward(request))
    return sheet_page(
        request,
        sheet,
        title="From a dirty area to a cleaner one",
        sub="Kit changed and hands disinfected before the step. Follow the house's own biosecurity "
        "plan and the label of the disinfectant; what was not done is noted as well.",
        verb="Note it",
        cancel=onward(request),
    )
