"""Joins the apps' addresses."""

from django.http import HttpRequest, HttpResponse
from django.urls import include, path
from drf_spectacular.views import SpectacularAPIView

from deploy import trust


def alive(_: HttpRequest) -> HttpResponse:
    return HttpResponse("alive\n", content_type="text/plain")


handler404 = "facility.api.faults.page_not_found"
handler500 = "facility.api.faults.server_error"

urlpatterns = [
    path("alive/", alive, name="alive"),
    path("trust/", trust.trust, name="trust"),
    path("trust/penstock-authority.crt", trust.authority, name="trust-authority"),
    path("api/schema/", SpectacularAPIView.as_view(), name="api-schema"),
    path("api/", include("facility.api.urls")),
    path("api/", include("tanks.api.urls")),
    path("api/", include("quarantine.api.urls")),
    path("", include("facility.urls")),
    path("", include("tanks.urls")),
    path("", include("quarantine.urls")),
]
