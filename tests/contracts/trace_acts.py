"""Examples of kits, resets and traces, at ``AT``."""

from quarantine.commands.kit_uses import CleanKit, UseKit
from quarantine.commands.kits import OpenKit, RetireKit
from quarantine.commands.resets import StartReset, TakeResetStep
from quarantine.commands.tracing import HoldTraced
from tests.cast import House
from tests.quarantine.equipment import (
    begun,
    cleaning_of,
    kit_of,
    net,
    reset_of,
    step_of,
    use_of,
)
from tests.quarantine.ready import AT
from tests.quarantine.test_hold_traced import DAY, hold_of
from tests.tanks.estate import vessel_of


def to_open_kit(house: House) -> OpenKit:
    return kit_of(house)


def to_retire_kit(house: House) -> RetireKit:
    return RetireKit(kit_id=net(house).pk, happened_at=AT)


def to_use_kit(house: House) -> UseKit:
    return use_of(net(house), vessel_of(house), at=AT, note="Caught two for the look")


def to_clean_kit(house: House) -> CleanKit:
    return cleaning_of(net(house), at=AT)


def to_start_reset(house: House) -> StartReset:
    return reset_of(vessel_of(house), at=AT)


def to_take_reset_step(house: House) -> TakeResetStep:
    return step_of(begun(house, vessel_of(house)), "CLEANED", at=AT, note="Substrate out")


def to_hold_traced(house: House) -> HoldTraced:
    tank = vessel_of(house)
    return hold_of(house, tank, since=AT - DAY, happened_at=AT)
