"""Examples of what is recorded of animals, from order to sale, at ``AT``."""

from facility.commands.photos import KeepPhoto
from tests.cast import House
from tests.facility.picturing import photo_of
from tests.quarantine.ready import AT


def to_keep_photo(house: House) -> KeepPhoto:
    return photo_of(house, at=AT)
