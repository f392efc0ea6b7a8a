"""All well: every tank of an area with animals, in one sheet."""

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.models import Area
from facility.queries import people
from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands.observations import log_observation
from quarantine.forms.rounds import AllWellSheet
from quarantine.queries.looks import tanks_held

_DEED = "quarantine.log-observation"


@login_required
@require_http_methods(["GET", "POST"])
def all_well(request: SignedRequest, area_id: UUID) -> HttpResponse:
    known = Area.objects.open_to(request.user).select_related("site")
    area = get_object_or_404(known, pk=area_id)
    timezone.activate(area.site.zone)
    if request.method == "POST":
        require(request, _DEED, area.site)
    held = tanks_held(area.site, at=timezone.now())
    tanks = [one for one in held if one.vessel.area_id == area.pk]
    sheet = AllWellSheet(request.POST or None, tanks=tanks)
    if sheet.is_valid() and _kept(request, sheet):
        count = len(sheet.cleaned_data["vessels"])
        messages.success(request, f"{area.name}: {count} looked at, well.", extra_tags="done")
        return see_other(resolve_url("quarantine:looks"))
    may = people.may(request.user, _DEED, area.site)
    facts = {"area": area, "form": sheet, "tanks": tanks, "may": may}
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "quarantine/all_well.html", facts, status=status)


def _kept(request: SignedRequest, sheet: AllWellSheet) -> bool:
    """Keep the looks one by one; sent again, what was kept is found."""
    return all(
        carry_out(log_observation, command, request=request, on=sheet) is not None
        for command in sheet.commands()
    )
