"""Which waters were tested in time, and which were not."""

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from facility.models import Site
from facility.queries import people
from facility.views.signed import SignedRequest
from tanks.queries.coverage import coverage
from tanks.rules.coverage import EVERY
from tanks.rules.values import PARAMETERS


@login_required
@require_GET
def show(request: SignedRequest) -> HttpResponse:
    """Every system by parameter and the rotation, at each of this person's sites."""
    now = timezone.now()
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {
        "now": now,
        "columns": [(PARAMETERS[name], every.days) for name, every in EVERY.items()],
        "places": [
            {
                "cover": coverage(site, at=now),
                "may": people.deeds_of(request.user, site),
            }
            for site in sites
        ],
    }
    return render(request, "tanks/coverage.html", facts)
