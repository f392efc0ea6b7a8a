"""What tanks plugs into the facility: every point of contact is on this page."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.urls import reverse

from facility.jobs import follow
from facility.sockets.aftermath import Aftermath, aftermaths
from facility.sockets.deeds import KEEPERS, MANAGERS, SIGNERS, Deed, deeds
from facility.sockets.follow_ups import follow_ups
from facility.sockets.loose_ends import LooseEndSource, loose_end_sources
from facility.sockets.menu import Group, MenuEntry, menu
from facility.sockets.reports import ReportSource, report_sources
from facility.sockets.stop_list import StopSource, stop_sources
from facility.sockets.subjects import SubjectSource, subject_sources
from facility.sockets.telling import Teller, tellers
from facility.sockets.work import (
    DutyWay,
    Judge,
    Proof,
    TaskSource,
    duty_ways,
    judges,
    proofs,
    task_sources,
)
from tanks import jobs
from tanks.commands import (
    alarm_adoption,
    alarm_rules,
    challenges,
    changes,
    connections,
    corrective_actions,
    cycles,
    devices,
    doses,
    forecasts,
    incidents,
    methods,
    policies,
    products,
    ramps,
    readings,
    seedings,
    source_readings,
    valve_loans,
    vessels,
    volumes,
    walks,
    withdrawals,
)
from tanks.commands import duties as default_duties
from tanks.paper import compliance as compliance_paper
from tanks.paper import told as told_paper
from tanks.paper import weekly as weekly_paper
from tanks.queries import compliance, duties, judging, loose_ends, stop_list, subjects, weeks
from tanks.queries.telling import entries_told
from tanks.rules.follow_ups import FOLLOW_UPS
from tanks.rules.proof_choices import PROOFS


def _plug(
    command: type, give: Callable[..., Any], roles: frozenset[str], says: str, **more: bool
) -> None:
    """One name everywhere: the deed is called as its function is."""
    name = f"tanks.{give.__name__.replace('_', '-')}"
    deeds.plug(Deed(name=name, command=command, give=give, roles=roles, says=says, **more))


_plug(
    policies.AdoptDefaults,
    policies.adopt_defaults,
    MANAGERS,
    "adopted the shipped policy and limits",
)
_plug(
    alarm_adoption.AdoptAlarmRules,
    alarm_adoption.adopt_alarm_rules,
    MANAGERS,
    "adopted the shipped alarm rules",
)
_plug(alarm_rules.SetAlarmRule, alarm_rules.set_alarm_rule, MANAGERS, "set an alarm rule")
_plug(
    default_duties.AdoptDuties,
    default_duties.adopt_duties,
    MANAGERS,
    "adopted the usual duties",
)
_plug(policies.SetPolicy, policies.set_policy, MANAGERS, "set the start-up policy")
_plug(vessels.OpenVessel, vessels.open_vessel, MANAGERS, "put up a tank or a system")
_plug(vessels.RenameVessel, vessels.rename_vessel, MANAGERS, "renamed a tank or a system")
_plug(vessels.RetireVessel, vessels.retire_vessel, MANAGERS, "retired a tank or a system")
_plug(vessels.Relabel, vessels.relabel, KEEPERS, "made a new label")
_plug(
    volumes.MeasureVolume,
    volumes.measure_volume,
    KEEPERS,
    "measured a net volume",
    is_hands_on=True,
)
_plug(connections.OpenValve, connections.open_valve, KEEPERS, "opened a valve", is_hands_on=True)
_plug(connections.CloseValve, connections.close_valve, KEEPERS, "closed a valve", is_hands_on=True)
_plug(
    valve_loans.LendValve,
    valve_loans.lend_valve,
    KEEPERS,
    "closed a valve for a while",
    is_hands_on=True,
)
_plug(walks.LogWalk, walks.log_walk, KEEPERS, "walked past the tanks", is_hands_on=True)
_plug(devices.InstallDevice, devices.install_device, MANAGERS, "put in a device", is_hands_on=True)
_plug(devices.RemoveDevice, devices.remove_device, MANAGERS, "took out a device", is_hands_on=True)
_plug(
    devices.SwitchDevice,
    devices.switch_device,
    KEEPERS,
    "turned a device off or on",
    is_hands_on=True,
)
_plug(methods.DefineMethod, methods.define_method, KEEPERS, "described a method")
_plug(readings.LogReadings, readings.log_readings, KEEPERS, "logged readings", is_hands_on=True)
_plug(readings.CorrectReading, readings.correct_reading, KEEPERS, "corrected a reading")
_plug(
    corrective_actions.ActOnReading,
    corrective_actions.act_on_reading,
    KEEPERS,
    "acted on a reading out of range",
)
_plug(withdrawals.WithdrawEntry, withdrawals.withdraw_entry, KEEPERS, "withdrew an entry")
_plug(products.ShelveProduct, products.shelve_product, KEEPERS, "put a product on the shelf")
_plug(products.RetireProduct, products.retire_product, KEEPERS, "took a product off the shelf")
_plug(doses.LogDose, doses.log_dose, KEEPERS, "dosed", is_hands_on=True)
_plug(changes.LogWaterChange, changes.log_water_change, KEEPERS, "changed water", is_hands_on=True)
_plug(changes.LogFeeding, changes.log_feeding, KEEPERS, "fed", is_hands_on=True)
_plug(seedings.LogSeeding, seedings.log_seeding, KEEPERS, "seeded the biofilter", is_hands_on=True)
_plug(incidents.LogIncident, incidents.log_incident, KEEPERS, "reported an incident")
_plug(
    source_readings.LogSourceReading,
    source_readings.log_source_reading,
    KEEPERS,
    "read a source water",
    is_hands_on=True,
)
_plug(ramps.PlanRamp, ramps.plan_ramp, KEEPERS, "planned a ramp")
_plug(cycles.StartCycle, cycles.start_cycle, KEEPERS, "started a biofilter")
_plug(cycles.EndCycle, cycles.end_cycle, KEEPERS, "ended a start-up")
_plug(challenges.BeginChallenge, challenges.begin_challenge, KEEPERS, "began a challenge")
_plug(challenges.JudgeChallenge, challenges.judge_challenge, KEEPERS, "judged a challenge")
_plug(
    challenges.SignCertificate,
    challenges.sign_certificate,
    SIGNERS,
    "certified a feed rate as a second person",
    is_signature=True,
)
# The house asks for forecasts itself; no role may.
_plug(forecasts.KeepForecast, forecasts.keep_forecast, frozenset(), "kept a forecast")


def _adopt_url(site_id: UUID) -> str:
    return reverse("tanks:adopt-duties", args=[site_id])


duty_ways.plug(
    DutyWay(
        name="tanks.adopt-duties",
        label="Add the usual duties",
        deed="tanks.adopt-duties",
        url=_adopt_url,
    )
)
task_sources.plug(TaskSource("tanks.cycling", duties.cycling_duties))
task_sources.plug(TaskSource("tanks.devices-back", duties.device_duties))
task_sources.plug(TaskSource("tanks.valves-back", loose_ends.valve_duties))
loose_end_sources.plug(LooseEndSource(name="tanks.devices-off", loose=loose_ends.devices_off))
loose_end_sources.plug(LooseEndSource(name="tanks.valves-closed", loose=loose_ends.valves_closed))
stop_sources.plug(StopSource(name="tanks.start-ups", stops=stop_list.tank_stops))
report_sources.plug(
    ReportSource(
        name="WEEK",
        title="Water quality and test coverage",
        compose=weeks.week,
        sections=weekly_paper.sections,
        parts=told_paper.parts_of,
    )
)
report_sources.plug(
    ReportSource(
        name="MONTH",
        title="Compliance with limits",
        compose=compliance.month,
        sections=compliance_paper.sections,
        parts=told_paper.parts_of,
    )
)
judges.plug(Judge(name=judging.JUDGE, passes=judging.passes))
tellers.plug(Teller(name="tanks.entries", tell=entries_told))
subject_sources.plug(
    SubjectSource(
        name="tanks.vessels",
        table="tanks.vessel",
        places=subjects.vessels_as_places,
        alike=subjects.of_one_water,
        at_site=subjects.vessels_at,
    )
)
subject_sources.plug(
    SubjectSource(
        name="tanks.cycles",
        table="tanks.cycle",
        places=subjects.cycles_as_places,
        alike=subjects.water_of_cycle,
    )
)
subject_sources.plug(
    SubjectSource(
        name="tanks.devices",
        table="tanks.device",
        places=subjects.devices_as_places,
        alike=subjects.device_alone,
        at_site=subjects.devices_at,
    )
)
for each in FOLLOW_UPS:
    follow_ups.plug(each)
for name, (label, asks) in PROOFS.items():
    proofs.plug(Proof(name=name, label=label, asks=asks))
_ACTS = frozenset(deed.name for deed in deeds if deed.roles and deed.name.startswith("tanks."))
aftermaths.plug(Aftermath("tanks.answer-tasks", _ACTS, follow))
aftermaths.plug(Aftermath("tanks.watch", jobs.CHANGES_A_WATER, jobs.keep_watch))
aftermaths.plug(Aftermath("tanks.refresh-forecast", jobs.CHANGES_A_FORECAST, jobs.follow))

# Order, address, what it is called, and the group it stands in.
for order, url, label, group in (
    (10, "board", "Board", Group.NOW),
    (14, "exceedances", "Out of range", Group.NOW),
    (15, "find-tank", "Scan", Group.NOW),
    (20, "today", "Today", Group.NOW),
    (28, "walks", "Walk", Group.SHIFT),
    (40, "estate", "Tanks and systems", Group.WATER),
    (42, "coverage", "Test coverage", Group.WATER),
    (43, "source-readings", "Source water", Group.WATER),
    (45, "calibration", "Forecasts", Group.WATER),
    (50, "calculations", "Calculators", Group.WATER),
    (60, "labels", "Labels", Group.SHELF),
    (65, "shelf", "Shelf", Group.SHELF),
    (70, "methods", "Methods", Group.SHELF),
    (75, "policies", "Policy and limits", Group.HOUSE),
):
    menu.plug(
        MenuEntry(
            name=f"tanks.{url}", label=label, url_name=f"tanks:{url}", order=order, group=group
        )
    )
