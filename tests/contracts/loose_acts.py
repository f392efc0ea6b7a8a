"""Examples of what must not last and of handing over, at ``AT``."""

from uuid import uuid4

from facility.commands.breaks import TakeBreak
from facility.commands.hand_overs import HandOver
from facility.commands.loose_ends import ExtendLooseEnd, LeaveLooseEnd, ReturnLooseEnd
from tanks.commands.valve_loans import LendValve
from tanks.commands.walks import LogWalk
from tests.cast import House
from tests.facility.loose import HOUR, break_of, extension_of, left, loose_of, return_of
from tests.quarantine.ready import AT
from tests.tanks.estate import opened, system_of, vessel_of
from tests.tanks.walking import loan_of, sign_of, walk_of


def to_leave_loose_end(house: House) -> LeaveLooseEnd:
    return loose_of(house, at=AT)


def to_return_loose_end(house: House) -> ReturnLooseEnd:
    return return_of(left(house, at=AT), at=AT, note="Ran over a little")


def to_extend_loose_end(house: House) -> ExtendLooseEnd:
    return extension_of(house, left(house, at=AT), due_back_at=AT + 9 * HOUR)


def to_take_break(house: House) -> TakeBreak:
    return break_of(house, at=AT)


def to_hand_over(house: House) -> HandOver:
    text = "A-01 breathes fast; look again at ten."
    return HandOver(id=uuid4(), site_id=house.site.pk, text=text, happened_at=AT)


def to_lend_valve(house: House) -> LendValve:
    return loan_of(house, opened(house, vessel_of(house), system_of(house)), at=AT)


def to_log_walk(house: House) -> LogWalk:
    tank = vessel_of(house)
    return walk_of(house, tank, sign_of(tank), at=AT)
