"""What entered under an admission; with the first animals the start-up has come to its end."""

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.refusals import Refusal
from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands.admissions import record_stocking, valid_until
from quarantine.forms.admissions import StockingSheet
from quarantine.models import Admission, Stocking
from quarantine.queries.gate import gate_of
from quarantine.rules.gate import hindrances
from tanks.commands.cycles import EndCycle, end_cycle
from tanks.models import Cycle, Vessel


@login_required
@require_http_methods(["GET", "POST"])
def record(request: SignedRequest, admission_id: UUID) -> HttpResponse:
    admission = _admission(request, admission_id)
    require(request, "quarantine.record-stocking", admission.vessel.site)
    sheet = StockingSheet(request.POST or None)
    if sheet.is_valid() and (
        stocking := carry_out(record_stocking, sheet.command(admission), request=request, on=sheet)
    ):
        _end_start_up(request, stocking)
        return see_other(resolve_url("quarantine:gate", admission.vessel_id))
    gate = gate_of(admission.vessel, at=timezone.now())
    facts = {
        "admission": admission,
        "until": valid_until(admission),
        "form": sheet,
        "cancel": resolve_url("quarantine:gate", admission.vessel_id),
        # Once animals are in, the start-up's requirements are no longer asked.
        "since_then": [] if gate.known.stocked else hindrances(gate.requirements),
        "stocked": gate.known.stocked,
    }
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "quarantine/record_stocking.html", facts, status=status)


def _admission(request: SignedRequest, admission_id: UUID) -> Admission:
    known = Admission.objects.current().filter(vessel__in=Vessel.objects.open_to(request.user))
    rows = known.select_related("vessel__site", "vessel__area", "cycle__policy", "by")
    admission: Admission = get_object_or_404(rows, pk=admission_id)
    timezone.activate(admission.vessel.site.zone)
    return admission


def _end_start_up(request: SignedRequest, stocking: Stocking) -> None:
    """A second command of its own: the animals are in, whatever becomes of the start-up."""
    cycle = stocking.admission.cycle
    command = EndCycle(
        cycle_id=cycle.pk, outcome=Cycle.Outcome.STOCKED, happened_at=stocking.happened_at
    )
    if cycle.ended_at is not None:
        return
    try:
        end_cycle(command, by=request.user, at=timezone.now())
    except Refusal as refusal:
        messages.warning(
            request, f"The start-up stays open: {refusal.sentence}", extra_tags="unknown"
        )
