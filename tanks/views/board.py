"""The board and the day's work."""

from itertools import groupby

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from facility.models import Site
from facility.queries import people
from facility.views.signed import SignedRequest
from tanks.queries.board import SHOWN, board, due_at
from tanks.rules.values import PARAMETERS


@login_required
@require_GET
def show(request: SignedRequest) -> HttpResponse:
    """Every water of the sites this person belongs to."""
    now = timezone.now()
    boards = [board(site, at=now) for site in _sites(request)]
    facts = {
        "boards": boards,
        "now": now,
        "shown": [PARAMETERS[name] for name in SHOWN],
        "works": {one.site.pk for one in boards if _works_at(request, one.site)},
    }
    return render(request, "tanks/board.html", facts)


@login_required
@require_GET
def today(request: SignedRequest) -> HttpResponse:
    """What is due now, clean areas before dirty ones."""
    now = timezone.now()
    due = [
        (one, works)
        for site in _sites(request)
        for works in (_works_at(request, site),)
        for one in due_at(site, at=now)
    ]
    places = [(place, list(rows)) for place, rows in groupby(due, key=lambda pair: pair[0].place)]
    return render(request, "tanks/today.html", {"places": places, "count": len(due), "now": now})


def _sites(request: SignedRequest) -> list[Site]:
    return list(Site.objects.open_to(request.user).order_by("name"))


def _works_at(request: SignedRequest, site: Site) -> bool:
    """Whether this person records things there, and so can follow what is due."""
    return people.may(request.user, "tanks.log-readings", site)
