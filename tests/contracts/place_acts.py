"""Examples of what is done to places, tanks, devices and readings, at ``AT``."""

from decimal import Decimal
from typing import Any
from uuid import uuid4

from facility.commands.documents import IssueDocument
from facility.commands.people import EndMembership, InvitePerson
from facility.commands.places import OpenArea, OpenSite, open_site
from facility.models import Membership
from tanks.commands.connections import CloseValve, OpenValve
from tanks.commands.devices import InstallDevice, RemoveDevice, SwitchDevice
from tanks.commands.methods import DefineMethod
from tanks.commands.policies import AdoptDefaults, SetPolicy
from tanks.commands.readings import CorrectReading, LogReadings
from tanks.commands.vessels import OpenVessel, Relabel, RenameVessel, RetireVessel
from tanks.commands.volumes import MeasureVolume
from tanks.commands.withdrawals import WithdrawEntry
from tanks.rules.defaults import POLICY
from tests.cast import PASSWORD, House
from tests.quarantine.ready import AT
from tests.tanks.estate import a_label, device_on, opened, system_of, vessel_of
from tests.tanks.proving import HOUR
from tests.tanks.samples import kit, logged, sample, taken


def to_open_site(_: House) -> OpenSite:
    return OpenSite(id=uuid4(), name="Low Mill", time_zone="Europe/Lisbon", jurisdiction="PT")


def to_open_area(house: House) -> OpenArea:
    return OpenArea(id=uuid4(), site_id=house.site.pk, name="Back room", hygiene_rank=4)


def to_invite_person(house: House) -> InvitePerson:
    return InvitePerson(
        id=uuid4(),
        site_id=house.site.pk,
        username="tove",
        full_name="Tove Marsh",
        initials="TM",
        role="STAFF",
        password=PASSWORD,
    )


def to_issue_document(house: House) -> IssueDocument:
    return IssueDocument(
        id=uuid4(),
        site_id=house.site.pk,
        kind="tanks.dossier",
        about=f"facility.site:{house.site.pk}",
        sha256="0" * 64,
    )


def to_end_membership(house: House) -> EndMembership:
    leaving = Membership.objects.get(person=house.ana, site=house.site)
    return EndMembership(membership_id=leaving.pk)


def to_adopt_defaults(house: House) -> AdoptDefaults:
    bare = open_site(to_open_site(house), by=house.mo, at=AT)
    Membership.objects.create(person=house.hale, site=bare, role="AUDITOR", since=AT)
    return AdoptDefaults(id=uuid4(), site_id=bare.pk)


def to_set_policy(house: House) -> SetPolicy:
    figures: dict[str, Any] = POLICY | {"tan_cap_mg_l_n": Decimal(4)}
    return SetPolicy(id=uuid4(), site_id=house.site.pk, source="decided here", **figures)


def to_open_vessel(house: House) -> OpenVessel:
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


def to_rename_vessel(house: House) -> RenameVessel:
    return RenameVessel(vessel_id=vessel_of(house).pk, code="A-02", name="By the door")


def to_retire_vessel(house: House) -> RetireVessel:
    return RetireVessel(vessel_id=vessel_of(house).pk, happened_at=AT)


def to_relabel(house: House) -> Relabel:
    return Relabel(vessel_id=vessel_of(house).pk, label=a_label())


def to_measure_volume(house: House) -> MeasureVolume:
    return MeasureVolume(
        id=uuid4(),
        vessel_id=vessel_of(house).pk,
        happened_at=AT,
        means="METERED",
        basis={"litres": "412"},
    )


def to_open_valve(house: House) -> OpenValve:
    vessel, system = vessel_of(house), system_of(house)
    return OpenValve(
        id=uuid4(), vessel_id=vessel.pk, system_id=system.pk, valve="V3", happened_at=AT
    )


def to_close_valve(house: House) -> CloseValve:
    connection = opened(house, vessel_of(house), system_of(house))
    return CloseValve(connection_id=connection.pk, happened_at=AT)


def to_install_device(house: House) -> InstallDevice:
    return InstallDevice(
        id=uuid4(),
        vessel_id=vessel_of(house).pk,
        kind="BIOFILTER",
        name="Moving bed",
        biofilter_area_m2=Decimal("12.5"),
        happened_at=AT,
    )


def to_remove_device(house: House) -> RemoveDevice:
    return RemoveDevice(device_id=device_on(house, vessel_of(house)).pk, happened_at=AT)


def to_switch_device(house: House) -> SwitchDevice:
    return SwitchDevice(
        id=uuid4(),
        device_id=device_on(house, vessel_of(house)).pk,
        is_on=False,
        why="Seeding the filter",
        due_back_at=AT + 72 * HOUR,
        owner_id=house.ana.pk,
        happened_at=AT,
    )


def to_define_method(house: House) -> DefineMethod:
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


def to_log_readings(house: House) -> LogReadings:
    tan, ph = kit(house, "TAN"), kit(house, "PH")
    return sample(vessel_of(house), taken(tan, "<0.25"), taken(ph, "7.8"), at=AT)


def to_correct_reading(house: House) -> CorrectReading:
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


def to_withdraw_entry(house: House) -> WithdrawEntry:
    first = logged(house, vessel_of(house), kit(house, "TAN"), "0.5")
    return WithdrawEntry(
        id=uuid4(), model="tanks.reading", fact_id=first.pk, reason="It was another tank's."
    )
