"""Examples of what is done about the day's work, at ``AT``."""

from facility.commands.answers import AnswerTask
from facility.commands.work import RaiseTask
from tests.cast import House
from tests.facility.working import answer_of, asked, task_of
from tests.quarantine.ready import AT


def to_raise_task(house: House) -> RaiseTask:
    return task_of(house, at=AT)


def to_answer_task(house: House) -> AnswerTask:
    return answer_of(asked(house, at=AT), at=AT)
