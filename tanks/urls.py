"""Addresses of the tanks."""

from django.urls import URLPattern

app_name = "tanks"
urlpatterns: list[URLPattern] = []
