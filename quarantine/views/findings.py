"""Results of tests: of a tank or a lot in it, and one that was awaited."""

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import findings as commands
from quarantine.forms.findings import FindingSheet
from quarantine.models import Finding
from quarantine.queries.books import lots_in
from tanks.views.found import vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def log_finding(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """``?answers=`` names the finding whose result comes in."""
    vessel = vessel_of(request, vessel_id)
    require(request, "quarantine.log-finding", vessel.site)
    held = lots_in([vessel.pk], at=timezone.now())
    answers = _answered(request, [one.lot.pk for one in held], vessel_id)
    sheet = FindingSheet(request.POST or None, held=held, answers=answers)
    if sheet.is_valid() and carry_out(
        commands.log_finding, sheet.command(vessel), request=request, on=sheet
    ):
        messages.success(request, "Result kept.", extra_tags="done")
        return see_other(resolve_url("quarantine:tank-looks", vessel.pk))
    return sheet_page(
        request,
        sheet,
        title=f"A test of {vessel.code}",
        sub="A negative sample never proves absence: the survey page says what it is worth.",
        verb="Keep the result",
        template="quarantine/sheet.html",
        cancel=resolve_url("quarantine:tank-looks", vessel.pk),
    )


def _answered(request: SignedRequest, lot_ids: list[UUID], vessel_id: UUID) -> Finding | None:
    wanted = request.GET.get("answers")
    if not wanted:
        return None
    rows = Finding.objects.current().filter(result=Finding.Result.PENDING)
    here = rows.filter(vessel=vessel_id) | rows.filter(lot__in=lot_ids)
    found: Finding = get_object_or_404(here.select_related("lot"), pk=_uuid(wanted))
    return found


def _uuid(text: str) -> UUID | None:
    try:
        return UUID(text)
    except ValueError:
        return None
