"""The week of alerts: who was called how often, and which rules call for nothing."""

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from facility.models import Site
from facility.queries.alert_weeks import alert_week
from facility.rules.alert_weeks import FEW, MOST_A_SHIFT, MOST_FOR_NOTHING
from facility.views.signed import SignedRequest


@login_required
@require_GET
def week(request: SignedRequest) -> HttpResponse:
    """The last seven days at each of the person's sites."""
    now = timezone.now()
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {
        "weeks": [alert_week(site, until=now) for site in sites],
        "most_a_shift": MOST_A_SHIFT,
        "most_for_nothing": round(MOST_FOR_NOTHING * 100),
        "few": FEW,
    }
    return render(request, "facility/alerts_week.html", facts)
