"""Deaths: recorded in three taps, then what became of the carcass and what it showed."""

from datetime import datetime
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.queries import people
from facility.queries.photos import photos_named
from facility.rules.wording import day_and_time
from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import deaths as commands
from quarantine.commands import necropsies
from quarantine.commands.deaths import vessel_of as tank_of
from quarantine.forms.deaths import CarcassSheet, DeathSheet, NecropsySheet, WithdrawDeathSheet
from quarantine.models import Death
from quarantine.queries.books import lots_in
from quarantine.queries.carcasses import carcass_of, clock_of
from quarantine.queries.deaths import deaths_open_to
from quarantine.rules.mortality import interval
from quarantine.rules.necropsy import SOURCES, necropsy_clock
from quarantine.views.pictured import pictured
from tanks.views.found import vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def log_death(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "quarantine.log-death", vessel.site)
    held = lots_in([vessel.pk], at=timezone.now())
    sheet = DeathSheet(request.POST or None, request.FILES or None, held=held)
    if sheet.is_valid() and (photos := pictured(request, sheet, vessel)) is not None:
        command = sheet.command(vessel, photos=photos)
        if death := carry_out(commands.log_death, command, request=request, on=sheet):
            _say(request, death)
            return see_other(resolve_url("quarantine:death", death.pk))
    facts = {"vessel": vessel, "form": sheet, "held": held}
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "quarantine/log_death.html", facts, status=status)


@login_required
@require_GET
def show(request: SignedRequest, death_id: UUID) -> HttpResponse:
    """One entry of deaths with its clock, what the carcass showed, and the way to take it back."""
    death = _death(request, death_id)
    vessel = tank_of(death)
    facts = {
        "death": death,
        "vessel": vessel,
        "lot": death.change.from_lot,
        "share": interval(deaths=death.change.count, of=death.alive_before),
        "clock": clock_of(death),
        "carcass": Death.Carcass(carcass_of(death)).label,
        "sources": SOURCES,
        "photos": photos_named(death.photos),
        "taken_back": getattr(death, "correction", None),
        "may": people.deeds_of(request.user, vessel.site),
        "now": timezone.now(),
        "form": CarcassSheet(initial={"carcass": carcass_of(death)}),
    }
    return render(request, "quarantine/death.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def log_necropsy(request: SignedRequest, death_id: UUID) -> HttpResponse:
    death = _death(request, death_id)
    vessel = tank_of(death)
    require(request, "quarantine.log-necropsy", vessel.site)
    begun = {"examined": death.change.count, "performed_by": request.user.full_name}
    sheet = NecropsySheet(request.POST or None, request.FILES or None, initial=begun)
    if sheet.is_valid() and (photos := pictured(request, sheet, vessel)) is not None:
        command = sheet.command(death, photos=photos)
        if carry_out(necropsies.log_necropsy, command, request=request, on=sheet):
            messages.success(request, "Necropsy recorded.", extra_tags="done")
            return see_other(resolve_url("quarantine:death", death.pk))
    return sheet_page(
        request,
        sheet,
        title="Necropsy",
        sub=f"{death.change.count} of {death.change.from_lot} from {vessel.code}.",
        verb="Record the necropsy",
        template="quarantine/sheet.html",
        cancel=resolve_url("quarantine:death", death.pk),
    )


@login_required
@require_http_methods(["GET", "POST"])
def set_carcass(request: SignedRequest, death_id: UUID) -> HttpResponse:
    death = _death(request, death_id)
    require(request, "quarantine.set-carcass", tank_of(death).site)
    sheet = CarcassSheet(request.POST or None, initial={"carcass": carcass_of(death)})
    if sheet.is_valid() and carry_out(
        necropsies.set_carcass, sheet.command(death), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:death", death.pk))
    return sheet_page(
        request,
        sheet,
        title="Where the carcass is",
        sub=SOURCES,
        verb="Save",
        cancel=resolve_url("quarantine:death", death.pk),
    )


@login_required
@require_http_methods(["GET", "POST"])
def withdraw_death(request: SignedRequest, death_id: UUID) -> HttpResponse:
    death = _death(request, death_id)
    require(request, "quarantine.withdraw-death", tank_of(death).site)
    sheet = WithdrawDeathSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.withdraw_death, sheet.command(death), request=request, on=sheet
    ):
        messages.success(request, "Taken back; the book has them again.", extra_tags="done")
        return see_other(resolve_url("quarantine:tank-looks", tank_of(death).pk))
    return sheet_page(
        request,
        sheet,
        title="Take this entry back",
        sub=f"{death.change.count} of {death.change.from_lot}: they count as alive again. "
        "The first entry stays to be read.",
        verb="Take it back",
        cancel=resolve_url("quarantine:death", death.pk),
    )


def _death(request: SignedRequest, death_id: UUID) -> Death:
    known = deaths_open_to(request.user).filter(withdrawn=False)
    death: Death = get_object_or_404(known, pk=death_id)
    timezone.activate(tank_of(death).site.zone)
    return death


def _say(request: SignedRequest, death: Death) -> None:
    count, lot = death.change.count, death.change.from_lot
    clock = necropsy_clock(found_at=death.happened_at, carcass=death.carcass, is_opened=False)
    until = clock.until
    told = "" if until is None else f" Worth opening until {_by(death, until)}."
    messages.success(request, f"{count} of {lot} recorded dead.{told}", extra_tags="done")


def _by(death: Death, until: datetime) -> str:
    return day_and_time(until, zone=tank_of(death).site.zone)
