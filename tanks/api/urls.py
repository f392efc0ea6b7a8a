"""Addresses under /api/ that tell of waters, readings and start-ups, and calculate."""

from django.urls import URLPattern, path

from tanks.api.calculations import CalculationsView, CalculationView
from tanks.api.cycles import CycleView
from tanks.api.readings import ReadingsView
from tanks.api.waters import WatersView, WaterView

urlpatterns: list[URLPattern] = [
    path("waters/", WatersView.as_view(), name="api-waters"),
    path("waters/<uuid:vessel_id>/", WaterView.as_view(), name="api-water"),
    path("readings/", ReadingsView.as_view(), name="api-readings"),
    path("calculations/", CalculationsView.as_view(), name="api-calculations"),
    path("calculations/<slug:calculation>/", CalculationView.as_view(), name="api-calculation"),
    path("cycles/<uuid:cycle_id>/", CycleView.as_view(), name="api-cycle"),
]
