"""Examples of what is done about the ways to reach people, at ``AT``."""

from facility.commands.channels import AddChannel, AddWebhook, EndChannel
from tests.cast import House
from tests.facility.calling import a_receiver, an_address, reached
from tests.quarantine.ready import AT


def to_add_channel(house: House) -> AddChannel:
    return an_address(house)


def to_add_webhook(house: House) -> AddWebhook:
    return a_receiver(house)


def to_end_channel(house: House) -> EndChannel:
    return EndChannel(channel_id=reached(house, house.vera, at=AT).pk)
