"""Trace from a tank, lot, kit, person or consignment; hold what was reached."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from http import HTTPStatus
from typing import Any, Final
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from facility.models import Site
from facility.queries import people
from facility.views.answers import see_other
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands.tracing import WAYS, hold_traced
from quarantine.forms.tracing import DAYS, HoldTracedSheet, TraceSheet, hold_sheet
from quarantine.queries.trace_pages import lanes_of, page_of
from quarantine.queries.tracing import SUBJECTS, Stop, Traced, subject_named, trace_from
from quarantine.rules.trace_drawing import Drawing, Lane, drawn
from quarantine.rules.tracing import Direction, Kind
from tanks.views.found import site_of

_NARROW: Final = 340.0
_WIDE: Final = 960.0
_DRAWN: Final = 60
LETTERS: Final = {
    Kind.ANIMALS: "A",
    Kind.WATER: "W",
    Kind.EQUIPMENT: "K",
    Kind.PEOPLE: "P",
    Kind.FEED: "F",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    site: Site
    about: str
    direction: str
    since: datetime
    without: tuple[str, ...] = ()

    def traces(self, *, until: datetime) -> list[Traced]:
        found = (
            trace_from(
                self.site,
                self.about,
                direction=way,
                since=self.since,
                until=until,
                without=[Kind(one) for one in self.without],
            )
            for way in WAYS.get(self.direction, WAYS["both"])
        )
        return [one for one in found if one is not None]


@login_required
@never_cache
@require_GET
def show(request: SignedRequest) -> HttpResponse:
    """``?what=`` is a code as people say it, ``?about=`` a ledger key from another page."""
    is_asked = bool(request.GET.get("what") or request.GET.get("about"))
    sheet = TraceSheet(_given(request) if is_asked else None)
    asked = _asked(request, sheet) if is_asked else None
    status = HTTPStatus.OK if asked or not is_asked else HTTPStatus.UNPROCESSABLE_ENTITY
    if asked is None:
        return render(request, "quarantine/trace.html", {"form": sheet}, status=status)
    hold = hold_sheet(asked.about, asked.direction, asked.since, asked.without)
    return _page(request, asked, sheet, hold, status)


@login_required
@require_POST
def hold_all(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.hold-traced", site)
    sheet = HoldTracedSheet(request.POST)
    if sheet.is_valid() and (
        holds := carry_out(
            hold_traced, sheet.command(site, at=timezone.now()), request=request, on=sheet
        )
    ):
        messages.success(request, f"{len(holds)} holds are placed.", extra_tags="done")
        return see_other(_address(sheet.cleaned_data))
    given = sheet.cleaned_data
    asked = Asked(
        site=site,
        about=given.get("about", ""),
        direction=given.get("direction", "both"),
        since=given.get("since") or timezone.now() - timedelta(days=DAYS),
        without=tuple(given.get("without") or ()),
    )
    return _page(request, asked, TraceSheet(), sheet, HTTPStatus.UNPROCESSABLE_ENTITY)


def _address(given: dict[str, Any]) -> str:
    since = f"{timezone.localtime(given['since']):%Y-%m-%dT%H:%M}"
    asked = {"about": given["about"], "direction": given["direction"], "since": since}
    asked |= {"without": given["without"]}
    return f"{resolve_url('quarantine:trace')}?{urlencode(asked, doseq=True)}"


def _given(request: SignedRequest) -> dict[str, Any]:
    """What the address says, and for the rest what is usual."""
    usual = timezone.localtime() - timedelta(days=DAYS)
    return {
        "what": request.GET.get("what") or request.GET.get("about", ""),
        "direction": request.GET.get("direction", "both"),
        "since": request.GET.get("since") or f"{usual:%Y-%m-%dT%H:%M}",
        "without": request.GET.getlist("without"),
    }


def _asked(request: SignedRequest, sheet: TraceSheet) -> Asked | None:
    if not sheet.is_valid():
        return None
    what = sheet.cleaned_data["what"].strip()
    for site in Site.objects.open_to(request.user).order_by("name", "pk"):
        about = _key(site, what)
        if about is not None:
            timezone.activate(site.zone)
            given = sheet.cleaned_data
            return Asked(
                site=site,
                about=about,
                direction=given["direction"],
                since=given["since"],
                without=tuple(given["without"]),
            )
    sheet.add_error("what", f"There is no tank, lot, kit, person or consignment named {what}.")
    return None


def _key(site: Site, what: str) -> str | None:
    """A ledger key stands for itself where the site has such a row; a code is looked up."""
    if what.partition(":")[0] not in SUBJECTS:
        return subject_named(site, what)
    now = timezone.now()
    is_here = trace_from(site, what, direction=Direction.FORWARD, since=now, until=now)
    return what if is_here else None


def _page(
    request: SignedRequest,
    asked: Asked,
    sheet: TraceSheet,
    hold: HoldTracedSheet,
    status: HTTPStatus,
) -> HttpResponse:
    now = timezone.now()
    found = asked.traces(until=now)
    facts = {
        "form": _again(sheet, asked, found),
        "hold": hold,
        "asked": asked,
        "subject": found[0].subject if found else None,
        "traces": [_shown(one, asked.site) for one in found],
        "letters": [(letter, kind.value) for kind, letter in LETTERS.items()],
        "may_hold": people.may(request.user, "quarantine.hold-traced", asked.site),
        "now": now,
    }
    return render(request, "quarantine/trace.html", facts, status=status)


def _again(sheet: TraceSheet, asked: Asked, found: list[Traced]) -> TraceSheet:
    """The next trace begins from what this one was, called as people call it."""
    if sheet.is_bound and sheet.errors:
        return sheet
    name = found[0].subject.name if found else ""
    return TraceSheet(
        initial={
            "what": name,
            "direction": asked.direction,
            "since": asked.since,
            "without": asked.without,
        }
    )


def _shown(found: Traced, site: Site) -> dict[str, Any]:
    lanes = list(lanes_of(found, LETTERS))[:_DRAWN]
    is_forward = found.direction is Direction.FORWARD
    return {
        "found": found,
        "is_forward": is_forward,
        "lines": [page_of(stop) for stop in found.stops if _is_shown(stop, found)],
        "drawings": [
            (size, _drawing(found, lanes, width=width, site=site))
            for size, width in (("narrow", _NARROW), ("wide", _WIDE))
        ],
        "undrawn": max(len(found.stops) - len(lanes), 0),
    }


def _drawing(found: Traced, lanes: list[Lane], *, width: float, site: Site) -> Drawing:
    return drawn(
        lanes,
        since=found.since,
        until=found.until,
        is_forward=found.direction is Direction.FORWARD,
        width=width,
        zone=site.zone,
    )


def _is_shown(stop: Stop, found: Traced) -> bool:
    return stop.place != found.subject or bool(stop.way)
