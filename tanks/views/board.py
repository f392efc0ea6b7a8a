"""The board and the day's work."""

from datetime import datetime
from itertools import groupby
from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from facility.models import Site
from facility.queries import people
from facility.queries.own_rounds import OwnRound, own_round
from facility.queries.task_pages import page_of
from facility.sockets.work import Due
from facility.views.signed import SignedRequest
from tanks.queries import today as todays
from tanks.queries.board import SHOWN, board
from tanks.rules.values import PARAMETERS
from tanks.sockets.remarks import remarks_today


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
    """What was missed and what is to be done now, clean areas before dirty ones."""
    now = timezone.now()
    days = [_day(request, site, now) for site in _sites(request)]
    facts = {
        "days": days,
        "count": sum(day["count"] for day in days),
        "missed": [(day["answers"], line) for day in days for line in day["told"].missed],
        "now": now,
    }
    return render(request, "tanks/today.html", facts)


def _sites(request: SignedRequest) -> list[Site]:
    return list(Site.objects.open_to(request.user).order_by("name"))


def _day(request: SignedRequest, site: Site, now: datetime) -> dict[str, Any]:
    told = todays.today(site, at=now)
    return {
        "told": told,
        "count": len(told.tasks) + len(told.due),
        "remarks": remarks_today(site.pk, now),
        "tasks": [(one, page_of(one.task)) for one in told.tasks],
        "places": [(place, list(rows)) for place, rows in groupby(told.due, key=_place)],
        "works": _works_at(request, site),
        "round": _round_of(request, site, now),
        "answers": people.may(request.user, "facility.answer-task", site),
    }


def _round_of(request: SignedRequest, site: Site, now: datetime) -> OwnRound | None:
    """Today's round of whoever is signed in, if it holds anything."""
    found = own_round(request.user, site, now.astimezone(site.zone).date(), at=now)
    return found if found and found.stops else None


def _place(due: Due) -> str:
    return due.place


def _works_at(request: SignedRequest, site: Site) -> bool:
    """Whether this person records things there, and so can follow what is due."""
    return people.may(request.user, "tanks.log-readings", site)
