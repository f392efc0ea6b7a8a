"""Examples of what is done about shifts, skills and rounds, at ``AT``."""

from uuid import uuid4

from facility.commands.calendars import CloseCalendar, OpenCalendar
from facility.commands.rounds import DrawUpRounds
from facility.commands.shifts import CancelShift, SetShift
from facility.commands.skills import EndSkill, GrantSkill
from tests.cast import House
from tests.facility.rounds import calendar_for, drawing_of, granted, on_shift, shift_of
from tests.quarantine.ready import AT


def to_set_shift(house: House) -> SetShift:
    return shift_of(house, house.ana, at=AT)


def to_cancel_shift(house: House) -> CancelShift:
    return CancelShift(shift_id=on_shift(house, house.ana, at=AT).pk)


def to_grant_skill(house: House) -> GrantSkill:
    return GrantSkill(id=uuid4(), site_id=house.site.pk, person_id=house.ana.pk, name="photometer")


def to_end_skill(house: House) -> EndSkill:
    return EndSkill(skill_id=granted(house, house.ana, at=AT).pk)


def to_draw_up_rounds(house: House) -> DrawUpRounds:
    on_shift(house, house.ana, at=AT)
    return drawing_of(house, {house.ana: []}, at=AT)


def to_open_calendar(house: House) -> OpenCalendar:
    return OpenCalendar(id=uuid4(), site_id=house.site.pk, token_sha256="1" * 64)


def to_close_calendar(house: House) -> CloseCalendar:
    return CloseCalendar(calendar_id=calendar_for(house, house.ana, at=AT).pk)
