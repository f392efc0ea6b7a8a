"""The shell's addresses."""

from django.urls import path

from facility.views import session

app_name = "facility"

urlpatterns = [
    path("sign-in/", session.sign_in, name="sign-in"),
    path("sign-out/", session.sign_out, name="sign-out"),
]
