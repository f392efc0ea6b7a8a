"""Done, or not done with a reason; what must come first comes first."""

import pytest

from facility.commands import answers
from facility.models import Completion, Entry, Skill
from facility.queries.proof import first_breach
from facility.queries.work import task_now, tasks_of, undone
from facility.refusals import NotFound
from tests.cast import NOON, House
from tests.facility.working import HOUR, answer_of, answered, asked

pytestmark = pytest.mark.django_db


def test_an_answer_is_kept_and_told_in_the_ledger(house: House) -> None:
    task = asked(house)

    completion = answered(task, by=house.ana)

    assert task_now(task, at=NOON).answer == completion
    line = Entry.objects.latest("pk")
    assert (line.kind, line.about) == ("facility.answer-task", f"facility.task:{task.pk}")
    assert first_breach(house.site) is None


def test_what_is_not_done_says_why(house: House) -> None:
    task = asked(house)

    with pytest.raises(answers.WhyNotMissing, match="why it is not done"):
        answered(task, by=house.ana, outcome="NOT_DONE")
    answered(task, by=house.ana, outcome="NOT_DONE", why_not="No time")

    assert task_now(task, at=NOON).state == "not done"


def test_what_goes_before_is_named(house: House) -> None:
    first = asked(house, title="Calibrate the pH probe")
    second = asked(house, title="Read pH", goes_after_id=first.pk)

    with pytest.raises(answers.OutOfOrder, match="First comes: Calibrate the pH probe"):
        answered(second, by=house.ana)
    assert task_now(second, at=NOON).state == "waiting"
    answered(first, by=house.ana, outcome="NOT_DONE", why_not="No buffer left")
    answered(second, by=house.ana)

    assert task_now(second, at=NOON).state == "done"


def test_nothing_is_done_before_its_time(house: House) -> None:
    task = asked(house, opens_at=NOON + HOUR, due_at=NOON + HOUR)

    with pytest.raises(answers.TooEarly, match="from Sun 29 Mar 2026, 14:00 on"):
        answered(task, by=house.ana)


def test_a_skill_is_held_by_who_does_it(house: House) -> None:
    task = asked(house, skill="Photometer")

    with pytest.raises(answers.SkillMissing, match="Ana Quill has not been granted"):
        answered(task, by=house.ana)
    Skill.objects.create(site=house.site, person=house.ana, name="Photometer", since=NOON - HOUR)
    answered(task, by=house.ana)

    assert Completion.objects.get().by == house.ana


def test_two_who_say_the_same_are_one_answer_and_two_who_differ_are_told(house: House) -> None:
    task = asked(house)
    first = answered(task, by=house.ana)

    assert answered(task, by=house.mo) == first
    with pytest.raises(answers.AnsweredBefore, match="Ana Quill answered this on"):
        answered(task, by=house.mo, outcome="NOT_DONE", why_not="No time")


def test_a_changed_answer_gives_a_reason_and_the_first_stays(house: House) -> None:
    task = asked(house)
    first = answered(task, by=house.ana)

    with pytest.raises(answers.ReasonMissing):
        answered(task, by=house.ana, outcome="NOT_DONE", why_not="No time", corrects_id=first.pk)
    changed = answered(
        task,
        by=house.ana,
        outcome="NOT_DONE",
        why_not="No time",
        corrects_id=first.pk,
        reason="It was the next row's.",
    )

    assert task_now(task, at=NOON).answer == changed
    assert Completion.objects.filter(task=task).count() == 2
    with pytest.raises(answers.NothingToTakeBack):
        answered(task, by=house.ana, corrects_id=first.pk, reason="Again")


def test_the_day_lists_what_falls_due_on_it_by_the_clock_of_the_site(house: House) -> None:
    # Lisbon is at UTC+1 from 29 March 2026 on: 23:30 UTC is the 30th there.
    late = asked(house, due_at=NOON + 11.5 * HOUR, late_at=NOON + 12 * HOUR)
    noon = asked(house)

    today = tasks_of(house.site, NOON.date(), at=NOON)
    tomorrow = tasks_of(house.site, NOON.date().replace(day=30), at=NOON)

    assert [one.task for one in today] == [noon]
    assert [one.task for one in tomorrow] == [late]
    assert today[0].where == "Front room"


def test_what_is_late_stands_first_and_what_is_answered_nowhere(house: House) -> None:
    open_ = asked(house, due_at=NOON - HOUR / 2)
    late = asked(house, due_at=NOON - HOUR / 4, late_at=NOON - HOUR / 4)
    done = asked(house)
    asked(house, opens_at=NOON + HOUR / 2)
    answered(done, by=house.ana)

    found = undone(house.site, at=NOON)

    assert [(one.task, one.state) for one in found] == [(late, "late"), (open_, "open")]


def test_a_stranger_finds_no_task(house: House) -> None:
    task = asked(house)

    with pytest.raises(NotFound):
        answers.answer_task(answer_of(task), by=house.bo, at=NOON)
