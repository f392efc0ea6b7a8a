"""Several workers that look at the same site at the same instant raise one alert, told once."""

from datetime import UTC, datetime, timedelta

import pytest

from facility.models import Alert, Entry, Sign
from facility.queries.proof import first_breach
from tanks import jobs
from tests.cast import House
from tests.races.at_once import at_once
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged

WORKERS = 4


@pytest.mark.django_db(transaction=True)
def test_one_alert_whoever_looks(house: House) -> None:
    read_at = datetime.now(UTC) - timedelta(hours=1)
    drops = kit(house, "TAN")
    tanks = [vessel_of(house, code=f"A-{number}") for number in range(3)]
    for tank in tanks:
        logged(house, tank, drops, "0.6", at=read_at)
    looks = [lambda: jobs.watch_site(str(house.site.pk))] * (WORKERS - 1)

    at_once([*looks, lambda: jobs.watch_water(str(tanks[0].pk))])

    assert Alert.objects.count() == len(tanks)
    assert Sign.objects.count() == len(tanks)
    assert Entry.objects.filter(kind="facility.raise-alert").count() == len(tanks)
    assert first_breach(house.site) is None
