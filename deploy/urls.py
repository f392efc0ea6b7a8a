"""Joins the apps' addresses."""

from importlib.util import find_spec
from typing import Final

from django.http import HttpRequest, HttpResponse
from django.urls import URLPattern, URLResolver, include, path
from drf_spectacular.views import SpectacularAPIView

# (prefix, module): a module joins when its app has grown one.
_PARTS: Final = (
    ("", "facility.urls"),
    ("", "tanks.urls"),
    ("", "quarantine.urls"),
    ("api/", "facility.api.urls"),
    ("api/", "tanks.api.urls"),
    ("api/", "quarantine.api.urls"),
)


def alive(request: HttpRequest) -> HttpResponse:
    return HttpResponse("alive\n", content_type="text/plain")


urlpatterns: list[URLPattern | URLResolver] = [
    path("alive/", alive, name="alive"),
    path("api/schema/", SpectacularAPIView.as_view(), name="api-schema"),
]
