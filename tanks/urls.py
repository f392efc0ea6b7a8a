"""Addresses of the tanks."""

from django.urls import URLPattern, path, re_path, register_converter
from django.urls.converters import StringConverter

from tanks.views import (
    alarm_rules,
    board,
    calculations,
    calibration,
    certificates,
    challenges,
    connections,
    corrections,
    coverage,
    cycles,
    devices,
    doses,
    dossier,
    duties,
    estate,
    exceedances,
    feedings,
    forecasts,
    incidents,
    kept,
    labels,
    methods,
    policies,
    products,
    ramps,
    readings,
    scans,
    seedings,
    source_readings,
    tanks,
    valve_loans,
    vessels,
    volumes,
    walks,
    water_changes,
    waters,
)

app_name = "tanks"


class _Kind(StringConverter):
    """Tanks and systems only: what other apps add at a site has addresses of its own."""

    regex = "tank|system"


register_converter(_Kind, "vessel_kind")

_ESTATE: list[URLPattern] = [
    path("estate/", estate.show, name="estate"),
    path("alarm-rules/", alarm_rules.alarm_rules, name="alarm-rules"),
    path("alarm-rules/<uuid:rule_id>/", alarm_rules.set_alarm_rule, name="set-alarm-rule"),
    path("source-water/", source_readings.show, name="source-readings"),
    path(
        "sites/<uuid:site_id>/source-water/",
        source_readings.log_source_reading,
        name="log-source-reading",
    ),
    path("coverage/", coverage.show, name="coverage"),
    path("policies/", policies.policies, name="policies"),
    path("sites/<uuid:site_id>/policy/", policies.set_policy, name="set-policy"),
    path("sites/<uuid:site_id>/defaults/", estate.adopt, name="adopt-defaults"),
    path("sites/<uuid:site_id>/alarm-rules/", alarm_rules.adopt, name="adopt-alarm-rules"),
    path("sites/<uuid:site_id>/usual-duties/", duties.adopt_duties, name="adopt-duties"),
    path("sites/<uuid:site_id>/<vessel_kind:kind>s/new/", vessels.open_vessel, name="open-vessel"),
    path("tanks/<uuid:vessel_id>/set-up/", vessels.set_up, name="set-up"),
    path("tanks/<uuid:vessel_id>/rename/", vessels.rename, name="rename-vessel"),
    path("tanks/<uuid:vessel_id>/retire/", vessels.retire, name="retire-vessel"),
    path("tanks/<uuid:vessel_id>/relabel/", vessels.relabel, name="relabel"),
    path("tanks/<uuid:vessel_id>/volume/", volumes.measure, name="measure-volume"),
    path("tanks/<uuid:vessel_id>/valve/", connections.open_valve, name="open-valve"),
    path("connections/<uuid:connection_id>/close/", connections.close_valve, name="close-valve"),
    path("connections/<uuid:connection_id>/lend/", valve_loans.lend_valve, name="lend-valve"),
    path("walks/", walks.walks, name="walks"),
    path("areas/<uuid:area_id>/walk/", walks.log_walk, name="log-walk"),
    path("tanks/<uuid:vessel_id>/devices/new/", devices.install, name="install-device"),
    path("devices/<uuid:device_id>/switch/", devices.switch, name="switch-device"),
    path("devices/<uuid:device_id>/remove/", devices.remove, name="remove-device"),
    path("waters/<uuid:vessel_id>/", waters.show, name="water"),
]
# Labels are printed in capitals, and people type as they like.
_READINGS: list[URLPattern] = [
    path("tanks/<uuid:vessel_id>/", tanks.tank, name="tank"),
    path("tanks/<uuid:vessel_id>/readings/", readings.log_readings, name="log-readings"),
    path(
        "readings/<uuid:reading_id>/correct/", corrections.correct_reading, name="correct-reading"
    ),
    path("exceedances/", exceedances.exceedances, name="exceedances"),
    path("readings/<uuid:reading_id>/act/", exceedances.act_on_reading, name="act-on-reading"),
    path(
        "entries/<str:model>/<uuid:fact_id>/withdraw/",
        corrections.withdraw_entry,
        name="withdraw-entry",
    ),
    re_path(r"^[tT]/?$", scans.find, name="find-tank"),
    path("labels/photo/", scans.scan_photo, name="scan-photo"),
    re_path(r"^[tT]/(?P<code>[^/]+)/?$", scans.scan, name="scan"),
    path("labels/", labels.labels, name="labels"),
    path("methods/", methods.methods, name="methods"),
    path(
        "sites/<uuid:site_id>/methods/<slug:parameter>/new/",
        methods.define_method,
        name="define-method",
    ),
]
_ACTS: list[URLPattern] = [
    path("tanks/<uuid:vessel_id>/dose/", doses.log_dose, name="log-dose"),
    path(
        "tanks/<uuid:vessel_id>/water-change/",
        water_changes.log_water_change,
        name="log-water-change",
    ),
    path("tanks/<uuid:vessel_id>/feeding/", feedings.log_feeding, name="log-feeding"),
    path("tanks/<uuid:vessel_id>/seeding/", seedings.log_seeding, name="log-seeding"),
    path("tanks/<uuid:vessel_id>/incident/", incidents.log_incident, name="log-incident"),
    path("cycles/<uuid:cycle_id>/ramp/", ramps.plan_ramp, name="plan-ramp"),
    path("shelf/", products.shelf, name="shelf"),
    path("sites/<uuid:site_id>/products/new/", products.shelve_product, name="shelve-product"),
    path("products/<uuid:product_id>/retire/", products.retire_product, name="retire-product"),
]
_CYCLES: list[URLPattern] = [
    path("tanks/<uuid:vessel_id>/cycle/", cycles.start_cycle, name="start-cycle"),
    path("cycles/<uuid:cycle_id>/", cycles.show, name="cycle"),
    path("cycles/<uuid:cycle_id>/plan/", cycles.plan, name="plan"),
    path("cycles/<uuid:cycle_id>/end/", cycles.end_cycle, name="end-cycle"),
    path("cycles/<uuid:cycle_id>/chart.svg", forecasts.chart, name="chart"),
    path("cycles/<uuid:cycle_id>/forecast/", forecasts.forecast, name="forecast"),
    path("cycles/<uuid:cycle_id>/forecasts/", kept.forecasts, name="forecasts"),
    path(
        "cycles/<uuid:cycle_id>/forecasts/<uuid:forecast_id>/",
        kept.kept_forecast,
        name="kept-forecast",
    ),
    path(
        "cycles/<uuid:cycle_id>/forecasts/<uuid:forecast_id>/chart.svg",
        kept.kept_chart,
        name="kept-chart",
    ),
    path("calibration/", calibration.calibration, name="calibration"),
    path("cycles/<uuid:cycle_id>/forecast/now/", forecasts.keep_forecast, name="keep-forecast"),
    path(
        "cycles/<uuid:cycle_id>/challenges/new/", challenges.begin_challenge, name="begin-challenge"
    ),
    path(
        "cycles/<uuid:cycle_id>/challenges/<uuid:challenge_id>/",
        challenges.judge_challenge,
        name="judge-challenge",
    ),
    path(
        "cycles/<uuid:cycle_id>/certificate/",
        certificates.sign_certificate,
        name="sign-certificate",
    ),
    path("cycles/<uuid:cycle_id>/dossier/", dossier.read, name="dossier-page"),
    path("cycles/<uuid:cycle_id>/dossier.pdf", dossier.pdf, name="dossier"),
    path("cycles/<uuid:cycle_id>/dossier/issue/", dossier.issue, name="issue-dossier"),
]
_CALCULATORS: list[URLPattern] = [
    path("calculators/", calculations.calculations, name="calculations"),
    path("calculators/<slug:calculation>/", calculations.calculate, name="calculate"),
    path(
        "calculators/<slug:calculation>/dose-sheet.pdf",
        calculations.dose_sheet,
        name="dose-sheet",
    ),
]
_BOARD: list[URLPattern] = [
    path("", board.show, name="board"),
    path("today/", board.today, name="today"),
]
urlpatterns: list[URLPattern] = [
    *_BOARD,
    *_ACTS,
    *_CALCULATORS,
    *_CYCLES,
    *_READINGS,
    *_ESTATE,
]
