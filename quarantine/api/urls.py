"""Addresses under /api/ that tell of species, lots and consignments."""

from django.urls import URLPattern, path

from quarantine.api.consignments import ConsignmentsView, ConsignmentView
from quarantine.api.lots import InventoryView, LotsView, LotView
from quarantine.api.species import SpeciesView

urlpatterns: list[URLPattern] = [
    path("species/", SpeciesView.as_view(), name="api-species"),
    path("lots/", LotsView.as_view(), name="api-lots"),
    path("lots/<uuid:lot_id>/", LotView.as_view(), name="api-lot"),
    path("inventory/", InventoryView.as_view(), name="api-inventory"),
    path("consignments/", ConsignmentsView.as_view(), name="api-consignments"),
    path("consignments/<uuid:consignment_id>/", ConsignmentView.as_view(), name="api-consignment"),
]
