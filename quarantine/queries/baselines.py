"""How many die here when all is as usual: the site's own share a day."""

from datetime import datetime, timedelta
from typing import Final

from facility.models import Site
from quarantine.queries.deaths import deaths_in
from quarantine.queries.tides import tide
from quarantine.rules.deaths_judged import percent
from quarantine.rules.deaths_known import Baseline
from tanks.models import Vessel

_WINDOW: Final = timedelta(days=90)
# What is judged now must not be its own baseline.
_LATEST: Final = timedelta(days=7)
_FEWEST_DEATHS: Final = 3
_FEWEST_DAYS: Final = 2000.0


def own_baseline(site: Site, *, at: datetime) -> Baseline | None:
    """Deaths over animal-days from 97 to 7 days ago; None while that is too little to go by."""
    until = at - _LATEST
    since = until - _WINDOW
    vessels = set(Vessel.objects.filter(site=site).values_list("pk", flat=True))
    days = tide(vessels, since=since, until=until).animal_days(vessels, until=until)
    deaths = sum(death.count for death in deaths_in(vessels, since=since, until=until))
    if deaths < _FEWEST_DEATHS or days < _FEWEST_DAYS:
        return None
    share = deaths / days
    says = f"{percent(share)} a day, this site's ({deaths} deaths in {days:.0f} animal-days)"
    return Baseline(share=share, says=says)
