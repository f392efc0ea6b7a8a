"""Examples of what is done about readings out of range and of reports kept, at ``AT``."""

from facility.commands.reports import KeepReport
from tanks.commands.corrective_actions import ActOnReading
from tests.cast import House
from tests.facility.reporting import keeping_of
from tests.quarantine.ready import AT
from tests.tanks.estate import vessel_of
from tests.tanks.exceeding import act_of
from tests.tanks.samples import kit, logged


def to_act_on_reading(house: House) -> ActOnReading:
    return act_of(logged(house, vessel_of(house), kit(house), "0.5", at=AT), at=AT)


def to_keep_report(house: House) -> KeepReport:
    return keeping_of(house)
