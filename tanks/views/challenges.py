"""Challenge the filter with the declared load, and judge the outcome."""

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import challenges as commands
from tanks.forms.challenges import BeginChallengeSheet, JudgeChallengeSheet
from tanks.models import Challenge
from tanks.queries.candidates import challenge_doses, judgement_of, judging_readings
from tanks.queries.cycles import Course, course
from tanks.rules.proof import Judgement
from tanks.views.found import cycle_of


@login_required
@require_http_methods(["GET", "POST"])
def begin_challenge(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    cycle = cycle_of(request, cycle_id)
    require(request, "tanks.begin-challenge", cycle.vessel.site)
    told = course(cycle, at=timezone.now())
    doses = challenge_doses(told)
    first = {"dose_id": str(doses[0][0])} if doses else {}
    sheet = BeginChallengeSheet(request.POST or None, doses=doses, initial=first)
    if sheet.is_valid() and carry_out(
        commands.begin_challenge, sheet.command(cycle), request=request, on=sheet
    ):
        return see_other(reverse("tanks:cycle", args=[cycle.pk]) + "#proof")
    facts = {"form": sheet, "told": told, "cycle": cycle, "doses": doses}
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "tanks/begin_challenge.html", facts, status=status)


@login_required
@require_http_methods(["GET", "POST"])
def judge_challenge(request: SignedRequest, cycle_id: UUID, challenge_id: UUID) -> HttpResponse:
    """Choose the readings; what the rule makes of them is shown before anything is recorded."""
    cycle = cycle_of(request, cycle_id)
    require(request, "tanks.judge-challenge", cycle.vessel.site)
    told = course(cycle, at=timezone.now())
    challenge = _challenge(told, challenge_id)
    is_look = "look" in request.POST
    sheet = _judging_sheet(request, told, challenge, is_look=is_look)
    if (
        sheet.is_bound
        and sheet.is_valid()
        and carry_out(commands.judge_challenge, sheet.command(challenge), request=request, on=sheet)
    ):
        return see_other(reverse("tanks:cycle", args=[cycle.pk]) + "#proof")
    facts = {
        "form": sheet,
        "told": told,
        "cycle": cycle,
        "challenge": challenge,
        "judgement": _judgement(told, challenge, sheet),
        "due": next(one.ends_at for one in told.challenges if one.challenge == challenge),
    }
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "tanks/judge_challenge.html", facts, status=status)


def _challenge(told: Course, challenge_id: UUID) -> Challenge:
    known = (one.challenge for one in told.challenges)
    found = next((one for one in known if one.pk == challenge_id), None)
    if found is None:
        raise Http404("There is no such challenge here.")
    return found


def _judging_sheet(
    request: SignedRequest, told: Course, challenge: Challenge, *, is_look: bool
) -> JudgeChallengeSheet:
    offered = judging_readings(told, challenge)
    rows = {name: one.rows for name, one in offered.items()}
    first = {name: str(one.first) for name, one in offered.items() if one.first}
    if is_look:
        return JudgeChallengeSheet(offered=rows, initial=first | request.POST.dict())
    return JudgeChallengeSheet(request.POST or None, offered=rows, initial=first)


def _judgement(told: Course, challenge: Challenge, sheet: JudgeChallengeSheet) -> Judgement | None:
    """Judge by the readings now chosen, if all three are."""
    chosen = sheet.chosen()
    if chosen is None:
        return None
    start_id, tan_id, nitrite_id = chosen
    return judgement_of(told, challenge, start_id=start_id, tan_id=tan_id, nitrite_id=nitrite_id)
