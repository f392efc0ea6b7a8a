"""The ledger, read by people: who did what, when, to which tank, and the rows as written."""

from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import urlencode

from django.contrib.auth.decorators import login_required
from django.core.paginator import Page, Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from facility.forms.ledger import LedgerSheet
from facility.models import Entry
from facility.paper.csv import csv_text
from facility.queries import ledger
from facility.rules.canonical import canonical_json
from facility.sockets.deeds import deeds
from facility.sockets.paper import Table
from facility.views.answers import status_of
from facility.views.signed import SignedRequest

_A_PAGE: Final = 50
_LATE_S: Final = 60
_COLUMNS: Final = (
    "Site",
    "Line",
    "Written at",
    "Happened at",
    "By",
    "Kind",
    "About",
    "Facts",
    "Previous digest",
    "Digest",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the ledger as drawn; ``rows`` are the rows it wrote, column by column."""

    entry: Entry
    says: str
    subject: str
    is_late: bool
    rows: list[tuple[str, list[tuple[str, Any]]]]
    more: list[tuple[str, Any]]


@login_required
@require_GET
def show(request: SignedRequest) -> HttpResponse:
    sheet = LedgerSheet(request.GET or None, person=request.user)
    lines = ledger.lines_seen_by(request.user, **sheet.asked())
    if request.GET.get("as") == "csv":
        return _file(lines)
    page = Paginator(lines, _A_PAGE).get_page(request.GET.get("page"))
    about = request.GET.get("about", "")
    names = ledger.subject_names(page)
    facts = {
        "form": sheet,
        "page": page,
        "lines": _lines(page, names),
        "about": names.get(about, about),
        "without_about": _query(request, about="", page=""),
        "earlier": _query(request, page=page.number + 1) if page.has_next() else "",
        "later": _query(request, page=page.number - 1) if page.has_previous() else "",
        "file": _query(request, page="", **{"as": "csv"}),
    }
    status = status_of(is_bound=bool(sheet.errors))
    return render(request, "facility/ledger.html", facts, status=status)


def says(kind: str) -> str:
    """Return a deed in the past tense, ``logged readings``; one unknown today by its name."""
    return deeds[kind].says if kind in deeds else f"did {kind}"


def _lines(page: Page[Entry], names: dict[str, str]) -> list[Line]:
    return [
        Line(
            entry=entry,
            says=says(entry.kind),
            subject=names.get(entry.about, entry.about),
            is_late=(entry.recorded_at - entry.happened_at).total_seconds() >= _LATE_S,
            rows=[_row(row) for row in entry.facts.get("rows", ())],
            more=[(name, value) for name, value in entry.facts.items() if name != "rows"],
        )
        for entry in page
    ]


def _row(row: dict[str, Any]) -> tuple[str, list[tuple[str, Any]]]:
    told = [(name, value) for name, value in row.items() if name != "model" and value is not None]
    return row.get("model", ""), told


def _query(request: SignedRequest, **changes: Any) -> str:
    """The address of the same search with something changed; what is empty is left out."""
    asked = {**request.GET.dict(), **changes}
    return "?" + urlencode({name: value for name, value in asked.items() if value})


def _file(lines: Any) -> HttpResponse:
    rows = tuple(
        (
            entry.site.name,
            str(entry.number),
            entry.recorded_at.isoformat(),
            entry.happened_at.isoformat(),
            entry.by.full_name if entry.by else "Penstock",
            entry.kind,
            entry.about,
            canonical_json(entry.facts),
            entry.previous,
            entry.digest,
        )
        for entry in lines
    )
    text = csv_text(Table(_COLUMNS, rows))
    named = {"Content-Disposition": 'attachment; filename="ledger.csv"'}
    return HttpResponse(text, content_type="text/csv; charset=utf-8", headers=named)
