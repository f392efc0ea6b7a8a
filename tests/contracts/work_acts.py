"""Examples of what is done about the day's work, at ``AT``."""

from uuid import uuid4

from facility.commands.answers import AnswerTask
from facility.commands.duties import EndDuty, SetDuty
from facility.commands.work import RaiseTask
from tanks.commands.duties import AdoptDuties
from tests.cast import House
from tests.facility.working import answer_of, asked, duty_of, set_for, task_of
from tests.quarantine.ready import AT
from tests.tanks.estate import vessel_of


def to_raise_task(house: House) -> RaiseTask:
    return task_of(house, at=AT)


def to_answer_task(house: House) -> AnswerTask:
    return answer_of(asked(house, at=AT), at=AT)


def to_set_duty(house: House) -> SetDuty:
    return duty_of(house, at=AT)


def to_end_duty(house: House) -> EndDuty:
    return EndDuty(duty_id=set_for(house, at=AT).pk)


def to_adopt_duties(house: House) -> AdoptDuties:
    vessel_of(house)
    return AdoptDuties(id=uuid4(), site_id=house.site.pk)
