"""Addresses of quarantine."""

from django.urls import path

from quarantine.views import gate, kits, resets, stockings

app_name = "quarantine"

urlpatterns = [
    path("gates/", gate.every, name="gates"),
    path("waters/<uuid:vessel_id>/gate/", gate.show, name="gate"),
    path("waters/<uuid:vessel_id>/gate/admit/", gate.admit, name="admit-animals"),
    path("admissions/<uuid:admission_id>/stocking/", stockings.record, name="record-stocking"),
    path("kits/", kits.every, name="kits"),
    path("sites/<uuid:site_id>/kits/new/", kits.open_kit, name="open-kit"),
    path("kits/<uuid:kit_id>/", kits.show, name="kit"),
    path("kits/<uuid:kit_id>/use/", kits.use_kit, name="use-kit"),
    path("kits/<uuid:kit_id>/clean/", kits.clean_kit, name="clean-kit"),
    path("kits/<uuid:kit_id>/retire/", kits.retire_kit, name="retire-kit"),
    path("resets/", resets.every, name="resets"),
    path("tanks/<uuid:vessel_id>/reset/", resets.start_reset, name="start-reset"),
    path("resets/<uuid:reset_id>/", resets.show, name="reset"),
    path("resets/<uuid:reset_id>/step/", resets.take_reset_step, name="take-reset-step"),
]
