"""How good the forecasts of each site were."""

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from facility.models import Site
from facility.views.signed import SignedRequest
from tanks.queries import calibration as queries
from tanks.rules.calibration import FEWEST


@login_required
@require_GET
def calibration(request: SignedRequest) -> HttpResponse:
    """What was forecast on fixed days since the start, beside what came, site by site."""
    now = timezone.now()
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {
        "places": [queries.calibration(site, at=now) for site in sites],
        "fewest": FEWEST,
    }
    return render(request, "tanks/calibration.html", facts)
