"""Addresses of quarantine."""

from django.urls import path

from quarantine.views import (
    gate,
    holds,
    kits,
    moves,
    plans,
    releases,
    resets,
    stay_rules,
    stays,
    stockings,
    tracing,
)

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
    path("stays/", stays.every, name="stays"),
    path("stays/late-comer/", stays.late_comer, name="late-comer"),
    path("stays/rules/", stay_rules.show, name="stay-rules"),
    path("sites/<uuid:site_id>/stays/adopt/", stay_rules.adopt, name="adopt-stay-rules"),
    path("sites/<uuid:site_id>/stays/rule/", stay_rules.set_rule, name="set-stay-rule"),
    path("sites/<uuid:site_id>/stays/policy/", stay_rules.set_policy, name="set-stay-policy"),
    path("waters/<uuid:vessel_id>/animals/", stays.show, name="stay"),
    path("waters/<uuid:vessel_id>/stocking-plan/", plans.show, name="stocking-plan"),
    path("plans/<uuid:planned_id>/drop/", plans.drop, name="drop-planned-entry"),
    path("tanks/<uuid:vessel_id>/move/", moves.move, name="move-animals"),
    path("releases/<uuid:release_id>/move/", moves.move_released, name="move-released"),
    path("lots/<uuid:lot_id>/release/<uuid:vessel_id>/", releases.release, name="release-lot"),
    path("holds/", holds.every, name="holds"),
    path("waters/<uuid:vessel_id>/hold/", holds.place_on_water, name="hold-water"),
    path("lots/<uuid:lot_id>/hold/", holds.place_on_lot, name="hold-lot"),
    path("holds/<uuid:hold_id>/", holds.lift, name="lift-hold"),
    path("trace/", tracing.show, name="trace"),
    path("sites/<uuid:site_id>/trace/hold/", tracing.hold_all, name="hold-traced"),
]
