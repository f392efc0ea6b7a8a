"""Examples of what is done about shared phones, at ``AT``."""

from uuid import uuid4

from facility.commands.handsets import PairHandset, RevokeHandset, SetPin
from tests.cast import House
from tests.facility.shared_phones import PIN, paired, pairing_of


def to_pair_handset(house: House) -> PairHandset:
    return pairing_of(house)


def to_revoke_handset(house: House) -> RevokeHandset:
    return RevokeHandset(handset_id=paired(house).pk)


def to_set_pin(house: House) -> SetPin:
    return SetPin(id=uuid4(), site_id=house.site.pk, pin=PIN)
