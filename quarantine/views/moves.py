"""Move animals; what that does to those who are there is shown before it is saved."""

from datetime import datetime
from http import HTTPStatus
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
from quarantine.commands.moves import move_animals
from quarantine.commands.releases import released_until
from quarantine.forms.stays import MoveSheet
from quarantine.models import Move, Release
from quarantine.queries.clocks import Consequences
from quarantine.views.stays import foreseen
from tanks.commands.cycles import EndCycle, end_cycle
from tanks.models import Cycle, Vessel
from tanks.views.found import vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def move(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """Animals out of this tank into another, within quarantine."""
    vessel = vessel_of(request, vessel_id)
    return _page(request, vessel, None)


@login_required
@require_http_methods(["GET", "POST"])
def move_released(request: SignedRequest, release_id: UUID) -> HttpResponse:
    """Animals that a signed release lets out."""
    rows = Release.objects.current().filter(vessel__in=Vessel.objects.open_to(request.user))
    known = rows.select_related("vessel__site", "destination__area", "lot__site", "by")
    release = get_object_or_404(known, pk=release_id)
    return _page(request, vessel_of(request, release.vessel_id), release)


def _page(request: SignedRequest, vessel: Vessel, release: Release | None) -> HttpResponse:
    require(request, "quarantine.move-animals", vessel.site)
    first = {"lot": request.GET.get("lot", ""), "to_vessel": request.GET.get("into", "")}
    initial = {name: value for name, value in first.items() if value}
    sheet = MoveSheet(request.POST or None, vessel=vessel, release=release, initial=initial)
    is_look = "preview" in request.POST
    if not is_look and sheet.is_valid():
        done = carry_out(move_animals, sheet.command(), request=request, on=sheet)
        if done is not None:
            _end_start_up(request, done)
            return see_other(resolve_url("quarantine:stay", done.change.to_vessel_id))
    facts = {
        "vessel": vessel,
        "release": release,
        "until": released_until(release) if release else None,
        "form": sheet,
        "found": None if release else _foreseen(sheet, vessel),
        "cancel": resolve_url("quarantine:stay", vessel.pk),
    }
    if is_look and "HX-Request" in request.headers:
        return render(request, "quarantine/_late_comer.html", facts)
    status = HTTPStatus.OK if is_look else status_of(is_bound=sheet.is_bound)
    return render(request, "quarantine/move_animals.html", facts, status=status)


def _foreseen(sheet: MoveSheet, vessel: Vessel) -> Consequences | None:
    if not sheet.is_bound:
        return None
    sheet.is_valid()
    given = sheet.cleaned_data
    lot, target = given.get("lot"), given.get("to_vessel")
    at: datetime = given.get("happened_at") or timezone.now()
    if lot is None or target is None:
        return None
    return foreseen(target, at=at, lot=lot, source=vessel)


def _end_start_up(request: SignedRequest, done: Move) -> None:
    """A second command of its own: the animals are in, whatever becomes of the start-up."""
    if done.stocking is None or done.stocking.admission.cycle.ended_at is not None:
        return
    cycle = done.stocking.admission.cycle
    command = EndCycle(
        cycle_id=cycle.pk, outcome=Cycle.Outcome.STOCKED, happened_at=done.happened_at
    )
    try:
        end_cycle(command, by=request.user, at=timezone.now())
    except Refusal as refusal:
        messages.warning(
            request, f"The start-up stays open: {refusal.sentence}", extra_tags="unknown"
        )
