"""One example of every deed, each in a house where it may be done, at ``AT``."""

from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from typing import Any, Final
from uuid import uuid4

from facility.commands.documents import IssueDocument
from facility.commands.people import InvitePerson
from facility.commands.places import OpenArea, OpenSite, open_site
from facility.models import Membership
from quarantine.commands.admissions import AdmitAnimals
from tanks.commands.challenges import BeginChallenge, SignCertificate
from tanks.commands.changes import LogFeeding, LogIncident, LogSeeding, LogWaterChange
from tanks.commands.connections import CloseValve, OpenValve
from tanks.commands.cycles import EndCycle, StartCycle
from tanks.commands.devices import InstallDevice, RemoveDevice, SwitchDevice
from tanks.commands.doses import LogDose
from tanks.commands.methods import DefineMethod
from tanks.commands.policies import AdoptDefaults
from tanks.commands.products import RetireProduct, ShelveProduct
from tanks.commands.ramps import PlanRamp
from tanks.commands.readings import CorrectReading, LogReadings
from tanks.commands.vessels import OpenVessel, Relabel, RenameVessel, RetireVessel
from tanks.commands.volumes import MeasureVolume
from tanks.commands.withdrawals import WithdrawEntry
from tanks.models import Vessel
from tests.cast import PASSWORD, House
from tests.quarantine.ready import AT, admission_of, admitted, entry_of, ready
from tests.tanks.estate import a_label, device_on, measured, opened, system_of, vessel_of
from tests.tanks.proving import HOUR, proving, start_of
from tests.tanks.samples import kit, logged, sample, taken
from tests.tanks.shelf import dose_of, shelved


def _open_site(_: House) -> OpenSite:
    return OpenSite(id=uuid4(), name="Low Mill", time_zone="Europe/Lisbon", jurisdiction="PT")


def _open_area(house: House) -> OpenArea:
    return OpenArea(id=uuid4(), site_id=house.site.pk, name="Back room", hygiene_rank=4)


def _invite_person(house: House) -> InvitePerson:
    return InvitePerson(
        id=uuid4(),
        site_id=house.site.pk,
        username="tove",
        full_name="Tove Marsh",
        initials="TM",
        role="STAFF",
        password=PASSWORD,
    )


def _issue_document(house: House) -> IssueDocument:
    return IssueDocument(
        id=uuid4(),
        site_id=house.site.pk,
        kind="tanks.dossier",
        about=f"facility.site:{house.site.pk}",
        sha256="0" * 64,
    )


def _adopt_defaults(house: House) -> AdoptDefaults:
    bare = open_site(_open_site(house), by=house.mo, at=AT)
    Membership.objects.create(person=house.hale, site=bare, role="AUDITOR", since=AT)
    return AdoptDefaults(id=uuid4(), site_id=bare.pk)


def _open_vessel(house: House) -> OpenVessel:
    return OpenVessel(
        id=uuid4(),
        site_id=house.site.pk,
        area_id=house.area.pk,
        kind="TANK",
        code="B-07",
        name="Reed bed",
        label=a_label(),
        happened_at=AT,
    )


def _rename_vessel(house: House) -> RenameVessel:
    return RenameVessel(vessel_id=vessel_of(house).pk, code="A-02", name="By the door")


def _retire_vessel(house: House) -> RetireVessel:
    return RetireVessel(vessel_id=vessel_of(house).pk, happened_at=AT)


def _relabel(house: House) -> Relabel:
    return Relabel(vessel_id=vessel_of(house).pk, label=a_label())


def _measure_volume(house: House) -> MeasureVolume:
    return MeasureVolume(
        id=uuid4(),
        vessel_id=vessel_of(house).pk,
        happened_at=AT,
        means="METERED",
        basis={"litres": "412"},
    )


def _open_valve(house: House) -> OpenValve:
    vessel, system = vessel_of(house), system_of(house)
    return OpenValve(
        id=uuid4(), vessel_id=vessel.pk, system_id=system.pk, valve="V3", happened_at=AT
    )


def _close_valve(house: House) -> CloseValve:
    connection = opened(house, vessel_of(house), system_of(house))
    return CloseValve(connection_id=connection.pk, happened_at=AT)


def _install_device(house: House) -> InstallDevice:
    return InstallDevice(
        id=uuid4(),
        vessel_id=vessel_of(house).pk,
        kind="BIOFILTER",
        name="Moving bed",
        biofilter_area_m2=Decimal("12.5"),
        happened_at=AT,
    )


def _remove_device(house: House) -> RemoveDevice:
    return RemoveDevice(device_id=device_on(house, vessel_of(house)).pk, happened_at=AT)


def _switch_device(house: House) -> SwitchDevice:
    return SwitchDevice(
        id=uuid4(),
        device_id=device_on(house, vessel_of(house)).pk,
        is_on=False,
        why="Seeding the filter",
        due_back_at=AT + 72 * HOUR,
        owner_id=house.ana.pk,
        happened_at=AT,
    )


def _define_method(house: House) -> DefineMethod:
    return DefineMethod(
        id=uuid4(),
        site_id=house.site.pk,
        name="Bench photometer",
        kind="PHOTOMETER",
        parameter="TAN",
        unit="mg/L",
        basis="NH4",
        lowest=Decimal("0.02"),
        highest=Decimal("2.5"),
    )


def _log_readings(house: House) -> LogReadings:
    tan, ph = kit(house, "TAN"), kit(house, "PH")
    return sample(vessel_of(house), taken(tan, "<0.25"), taken(ph, "7.8"), at=AT)


def _correct_reading(house: House) -> CorrectReading:
    method = kit(house, "TAN")
    first = logged(house, vessel_of(house), method, "5")
    return CorrectReading(
        id=uuid4(),
        reading_id=first.pk,
        text="0.5",
        unit=method.unit,
        basis=method.basis,
        method_id=method.pk,
        reason="Misread the decimal point.",
    )


def _withdraw_entry(house: House) -> WithdrawEntry:
    first = logged(house, vessel_of(house), kit(house, "TAN"), "0.5")
    return WithdrawEntry(
        id=uuid4(), model="tanks.reading", fact_id=first.pk, reason="It was another tank's."
    )


def _shelve_product(house: House) -> ShelveProduct:
    return ShelveProduct(
        id=uuid4(),
        site_id=house.site.pk,
        name="Ammonia stock",
        substance="AMMONIUM_CHLORIDE",
        form="SOLUTION",
        strength=Decimal(100),
        batch="C2",
        expires_on=(AT + timedelta(days=200)).date(),
    )


def _retire_product(house: House) -> RetireProduct:
    return RetireProduct(product_id=shelved(house).pk, happened_at=AT)


def _log_dose(house: House) -> LogDose:
    return dose_of(shelved(house), _of_400_litres(house), happened_at=AT)


def _log_water_change(house: House) -> LogWaterChange:
    return LogWaterChange(
        id=uuid4(),
        vessel_id=_of_400_litres(house).pk,
        litres=Decimal(120),
        happened_at=AT,
        source="Mains through carbon",
        source_nitrate_mg_l_n=Decimal("2.5"),
    )


def _log_feeding(house: House) -> LogFeeding:
    return LogFeeding(
        id=uuid4(),
        vessel_id=_of_400_litres(house).pk,
        grams=Decimal("4.5"),
        protein_share=Decimal("0.45"),
        happened_at=AT,
    )


def _log_seeding(house: House) -> LogSeeding:
    return LogSeeding(
        id=uuid4(),
        vessel_id=_of_400_litres(house).pk,
        kind="MATURE_MEDIA",
        product_id=None,
        origin="Sump of S-4, no treatments this year",
        quantity="2 L",
        happened_at=AT,
    )


def _log_incident(house: House) -> LogIncident:
    return LogIncident(
        id=uuid4(),
        vessel_id=_of_400_litres(house).pk,
        kind="POWER_LOSS",
        lasted_h=Decimal("1.5"),
        note="Breaker tripped",
        happened_at=AT,
    )


def _plan_ramp(house: House) -> PlanRamp:
    return PlanRamp(
        id=uuid4(),
        cycle_id=ready(house).cycle.pk,
        of="TEMPERATURE",
        end=Decimal(22),
        starts_on=AT.date(),
        days=4,
    )


def _start_cycle(house: House) -> StartCycle:
    return start_of(_of_400_litres(house), shelved(house), happened_at=AT)


def _end_cycle(house: House) -> EndCycle:
    return EndCycle(cycle_id=proving(house).cycle.pk, outcome="GIVEN_UP", happened_at=AT)


def _begin_challenge(house: House) -> BeginChallenge:
    told = proving(house)
    dose = told.dose(at=AT - HOUR)
    return BeginChallenge(id=uuid4(), cycle_id=told.cycle.pk, dose_id=dose.pk)


def _judge_challenge(house: House) -> Any:
    return proving(house).judgeable(at=AT - 25 * HOUR)


def _sign_certificate(house: House) -> SignCertificate:
    told = proving(house)
    begun = AT - 50 * HOUR
    first, second = (told.verdict(at=begun + i * (24 * HOUR + HOUR / 12)) for i in (0, 1))
    return told.signable(first, second)


def _admit_animals(house: House) -> AdmitAnimals:
    return admission_of(ready(house))


def _record_stocking(house: House) -> Any:
    return entry_of(admitted(ready(house)), at=AT)


def _of_400_litres(house: House) -> Vessel:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return vessel


ACTS: Final[dict[str, Callable[[House], Any]]] = {
    "facility.open-site": _open_site,
    "facility.open-area": _open_area,
    "facility.invite-person": _invite_person,
    "facility.issue-document": _issue_document,
    "tanks.adopt-defaults": _adopt_defaults,
    "tanks.open-vessel": _open_vessel,
    "tanks.rename-vessel": _rename_vessel,
    "tanks.retire-vessel": _retire_vessel,
    "tanks.relabel": _relabel,
    "tanks.measure-volume": _measure_volume,
    "tanks.open-valve": _open_valve,
    "tanks.close-valve": _close_valve,
    "tanks.install-device": _install_device,
    "tanks.remove-device": _remove_device,
    "tanks.switch-device": _switch_device,
    "tanks.define-method": _define_method,
    "tanks.log-readings": _log_readings,
    "tanks.correct-reading": _correct_reading,
    "tanks.withdraw-entry": _withdraw_entry,
    "tanks.shelve-product": _shelve_product,
    "tanks.retire-product": _retire_product,
    "tanks.log-dose": _log_dose,
    "tanks.log-water-change": _log_water_change,
    "tanks.log-feeding": _log_feeding,
    "tanks.log-seeding": _log_seeding,
    "tanks.log-incident": _log_incident,
    "tanks.plan-ramp": _plan_ramp,
    "tanks.start-cycle": _start_cycle,
    "tanks.end-cycle": _end_cycle,
    "tanks.begin-challenge": _begin_challenge,
    "tanks.judge-challenge": _judge_challenge,
    "tanks.sign-certificate": _sign_certificate,
    "quarantine.admit-animals": _admit_animals,
    "quarantine.record-stocking": _record_stocking,
}
