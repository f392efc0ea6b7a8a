"""Several workers that raise the same duties at the same instant raise each turn once."""

from datetime import timedelta

import pytest

from deploy.bench.duties import furnished
from facility.commands.raising import RaiseTasks, raise_tasks
from facility.models import Entry, Site, Task
from facility.queries.proof import first_breach
from tests.races.at_once import at_once

pytestmark = pytest.mark.django_db(transaction=True)

WORKERS = 4


def test_no_turn_is_raised_twice_and_none_is_lost() -> None:
    site = furnished(20)
    began = site.opened_at

    def run(site: Site, days: int) -> int:
        until = began + timedelta(days=days)
        return len(raise_tasks(RaiseTasks(site_id=site.pk, until=until), by=None, at=began))

    found = at_once([lambda: run(site, 3)] * WORKERS)

    # Twenty systems: fed twice a day and read once, and in three days one weekly test and
    # one cleaning each.
    wanted = 20 * (6 + 3 + 1 + 1)
    assert sorted(found) == [0, 0, 0, wanted]
    assert Task.objects.count() == wanted
    assert Entry.objects.filter(kind="facility.raise-tasks").count() == 1
    assert first_breach(site) is None
