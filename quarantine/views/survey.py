"""How many animals to test, and what a sample is worth. Nothing is kept."""

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from facility.views.answers import status_of
from facility.views.signed import SignedRequest
from quarantine.forms.survey import SurveySheet
from quarantine.rules.survey_words import CAUTIONS, METHOD, SurveyTold, size_by_hand, survey_told


@login_required
@require_GET
def survey(request: SignedRequest) -> HttpResponse:
    """The question stands in the address, so that an answer can be passed on."""
    sheet = SurveySheet(request.GET or None)
    is_answered = sheet.is_valid()
    told = _told(sheet) if is_answered else None
    facts = {
        "form": sheet,
        "told": told,
        "by_hand": size_by_hand(told.design) if told else None,
        "cautions": CAUTIONS,
        "method": METHOD,
    }
    status = status_of(is_bound=sheet.is_bound and not is_answered)
    return render(request, "quarantine/survey.html", facts, status=status)


def _told(sheet: SurveySheet) -> SurveyTold:
    chosen = sheet.cleaned_data["chosen"]
    return survey_told(sheet.design(), chosen_size=chosen, rounds=sheet.asked_rounds())
