"""Addresses of quarantine."""

from django.urls import path

from quarantine.views import gate, stockings

app_name = "quarantine"

urlpatterns = [
    path("gates/", gate.every, name="gates"),
    path("waters/<uuid:vessel_id>/gate/", gate.show, name="gate"),
    path("waters/<uuid:vessel_id>/gate/admit/", gate.admit, name="admit-animals"),
    path("admissions/<uuid:admission_id>/stocking/", stockings.record, name="record-stocking"),
]
