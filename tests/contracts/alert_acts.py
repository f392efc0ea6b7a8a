"""Examples of what is done about alerts and their rules, at ``AT``."""

from datetime import timedelta
from uuid import uuid4

from facility.commands.alerts import AcceptAlert, ClearAlert
from facility.commands.call_policies import SetCallPolicy
from facility.commands.maintenance import SetMaintenance
from facility.commands.places import open_site
from facility.models import Membership
from tanks.commands.alarm_adoption import AdoptAlarmRules
from tanks.commands.alarm_rules import SetAlarmRule
from tests.cast import House
from tests.contracts.place_acts import to_open_site
from tests.facility.alerting import clearing, raised
from tests.quarantine.ready import AT
from tests.tanks.estate import vessel_of


def to_accept_alert(house: House) -> AcceptAlert:
    return AcceptAlert(alert_id=raised(house, at=AT).pk, act="Feeding half")


def to_clear_alert(house: House) -> ClearAlert:
    return clearing(raised(house, at=AT))


def to_set_call_policy(house: House) -> SetCallPolicy:
    return SetCallPolicy(
        id=uuid4(),
        site_id=house.site.pk,
        answer_within_min=5,
        remind_every_min=20,
        calls_at_most=30,
        usual_shift_h=9,
        most_in_a_shift=6,
        source="decided here",
    )


def to_set_maintenance(house: House) -> SetMaintenance:
    return SetMaintenance(
        id=uuid4(),
        about=f"tanks.vessel:{vessel_of(house).pk}",
        why="Large water change",
        begins_at=AT,
        ends_at=AT + timedelta(hours=2),
    )


def to_adopt_alarm_rules(house: House) -> AdoptAlarmRules:
    bare = open_site(to_open_site(house), by=house.mo, at=AT)
    Membership.objects.create(person=house.hale, site=bare, role="AUDITOR", since=AT)
    return AdoptAlarmRules(id=uuid4(), site_id=bare.pk)


def to_set_alarm_rule(house: House) -> SetAlarmRule:
    return SetAlarmRule(
        id=uuid4(),
        rule_id=house.site.alarm_rules.get(code="ph-fall").pk,
        level=2,
        source="decided here",
        figures={"fall": 0.4},
    )
