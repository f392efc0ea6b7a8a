"""A chart as the answer to a request: SVG, sent again only when it has changed."""

from http import HTTPStatus
from typing import Any

from django.http import HttpResponse

from facility.views.signed import SignedRequest
from tanks.paper import charts
from tanks.rules.charting import INKS, WIDTHS_PX, Drawing, Theme, nearest_width_px, spec


def drawn(request: SignedRequest, drawing: Drawing) -> HttpResponse:
    """Return the chart for ``?width=`` pixels and ``?theme=`` light or dark."""
    asked = request.GET.get("width", "")
    width_px = nearest_width_px(int(asked) if asked.isdecimal() else WIDTHS_PX[1])
    specified = spec(drawing, width_px=width_px, theme=_theme(request))
    headers = {
        "ETag": f'"{charts.digest_of(specified)[:32]}"',
        "Cache-Control": "private, no-cache",
        "Vary": "Cookie",
    }
    if request.headers.get("If-None-Match") == headers["ETag"]:
        return HttpResponse(status=HTTPStatus.NOT_MODIFIED, headers=headers)
    return HttpResponse(charts.svg(specified), content_type="image/svg+xml", headers=headers)


def _theme(request: SignedRequest) -> Theme:
    asked: Any = request.GET.get("theme", "light")
    theme: Theme = asked if asked in INKS else "light"
    return theme
