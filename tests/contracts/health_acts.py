"""Examples of looks, deaths, findings and the rules about them, at ``AT``."""

from datetime import timedelta
from uuid import uuid4

from quarantine.commands.deaths import LogDeath, WithdrawDeath
from quarantine.commands.findings import LogFinding
from quarantine.commands.health_rules import (
    AdoptHealthRules,
    SetHealthRule,
    adopt_health_rules,
)
from quarantine.commands.necropsies import LogNecropsy, SetCarcass
from quarantine.commands.observations import LogObservation
from quarantine.models import Death
from tests.cast import NOON, House
from tests.quarantine.dying import (
    arrived,
    death_of,
    died,
    finding_of,
    look_of,
    necropsy_of,
)
from tests.quarantine.ready import AT
from tests.tanks.estate import vessel_of


def to_log_observation(house: House) -> LogObservation:
    return look_of(vessel_of(house), at=AT, seen_count=11, signs=("CLAMPED",), note="Two of them")


def to_log_death(house: House) -> LogDeath:
    tank = vessel_of(house)
    return death_of(arrived(house, tank), tank, at=AT, count=2, note="By the inlet")


def to_withdraw_death(house: House) -> WithdrawDeath:
    return WithdrawDeath(id=uuid4(), death_id=_death(house).pk, reason="It was hiding")


def to_log_necropsy(house: House) -> LogNecropsy:
    return necropsy_of(_death(house), at=AT)


def to_set_carcass(house: House) -> SetCarcass:
    death = _death(house)
    return SetCarcass(id=uuid4(), death_id=death.pk, happened_at=AT, carcass="COOLED", note="Box 3")


def to_log_finding(house: House) -> LogFinding:
    return finding_of(at=AT, lot_id=arrived(house, vessel_of(house)).pk)


def to_adopt_health_rules(house: House) -> AdoptHealthRules:
    return AdoptHealthRules(id=uuid4(), site_id=house.site.pk)


def to_set_health_rule(house: House) -> SetHealthRule:
    rule, *_ = adopt_health_rules(to_adopt_health_rules(house), by=house.mo, at=NOON)
    return SetHealthRule(
        id=uuid4(),
        rule_id=rule.pk,
        level=2,
        level_elsewhere=3,
        is_on=True,
        source="Our veterinarian",
        figures={"rare": 0.005},
    )


def _death(house: House) -> Death:
    tank = vessel_of(house, code="Q-07")
    return died(house, arrived(house, tank), tank, at=AT - timedelta(hours=1))
