"""The duties of a start-up end with it, in the act that ends it."""

from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import pytest

from facility.commands.raising import RaiseTasks, raise_tasks
from facility.models import Duty, Entry, Task
from facility.queries.proof import first_breach
from facility.queries.work import undone
from tanks.commands.cycles import EndCycle, end_cycle, start_cycle
from tanks.commands.duties import AdoptDuties, adopt_duties
from tests.cast import NOON, House
from tests.tanks.proving import HOUR, Proving, proving, start_of

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


def _adopted(house: House, known: Proving, *, at_h: int = 0) -> set[str]:
    command = AdoptDuties(id=uuid4(), site_id=house.site.pk)
    rows = adopt_duties(command, by=house.mo, at=NOON + at_h * HOUR)
    return {row.title for row in rows if row.about == f"tanks.vessel:{known.vessel.pk}"}


def _in_force(known: Proving) -> set[str]:
    rows = Duty.objects.filter(about=f"tanks.vessel:{known.vessel.pk}", ended_at=None)
    return set(rows.values_list("title", flat=True))


def test_a_certificate_ends_the_daily_test_and_what_it_had_asked_for(house: House) -> None:
    known = proving(house)
    _adopted(house, known)
    asked = RaiseTasks(site_id=house.site.pk, until=NOON + 5 * DAY)
    raise_tasks(asked, by=None, at=NOON)

    known.certified(at=NOON + HOUR)

    assert not any("in start-up" in title for title in _in_force(known))
    tests = [
        one for one in undone(house.site, at=NOON + 4 * DAY) if "in start-up" in one.task.title
    ]
    assert all(one.task.due_at <= NOON + 50 * HOUR for one in tests)
    assert Task.objects.filter(title__contains="in start-up", due_at__gt=NOON + 50 * HOUR).exists()
    signed = Entry.objects.get(kind="tanks.sign-certificate")
    assert [row["model"] for row in signed.facts["rows"]] == ["tanks.certificate", "facility.duty"]
    assert first_breach(house.site) is None


def test_a_start_up_given_up_ends_them_and_the_next_one_gets_its_own(house: House) -> None:
    known = proving(house)
    first = _adopted(house, known)
    end = EndCycle(cycle_id=known.cycle.pk, outcome="GIVEN_UP", happened_at=NOON + HOUR)
    end_cycle(end, by=house.mo, at=NOON + HOUR)

    assert any("in start-up" in title for title in first)
    assert not any("in start-up" in title for title in _in_force(known))
    start = start_of(known.vessel, known.salt, happened_at=NOON + 2 * HOUR)
    again = replace(known, cycle=start_cycle(start, by=house.ana, at=NOON + 2 * HOUR))
    assert _adopted(house, again, at_h=3) == {title for title in first if "in start-up" in title}
    assert _adopted(house, again, at_h=4) == set()
    assert first_breach(house.site) is None
