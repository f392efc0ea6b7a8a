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


def alive(_: HttpRequest) -> HttpResponse:
    return HttpResponse("alive\n", content_type="text/plain")


urlpatterns: list[URLPattern | URLResolver] = [
    path("alive/", alive, name="alive"),
    path("api/schema/", SpectacularAPIView.as_view(), name="api-schema"),
]


def _has_grown(module: str) -> bool:
    parent = module.rpartition(".")[0]
    return find_spec(parent) is not None and find_spec(module) is not None


urlpatterns += [path(prefix, include(module)) for prefix, module in _PARTS if _has_grown(module)]
