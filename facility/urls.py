"""The shell's addresses."""

from django.urls import path

from facility.views import ledger, places, session

app_name = "facility"

urlpatterns = [
    path("sign-in/", session.sign_in, name="sign-in"),
    path("sign-out/", session.sign_out, name="sign-out"),
    path("ledger/", ledger.show, name="ledger"),
    path("sites/new/", places.open_site, name="open-site"),
    path("sites/<uuid:site_id>/areas/new/", places.open_area, name="open-area"),
]
