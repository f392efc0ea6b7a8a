"""Whether passes may be signed now, as the page of a start-up offers it."""

from django.utils import timezone

from tanks.models import Cycle
from tanks.queries.cycles import course, related
from tanks.queries.following import Followed, follow
from tests.cast import House
from tests.tanks.proving import HOUR, Proving
from tests.tanks.startups import proven_twice, under_way


def now_of(known: Proving) -> Followed:
    cycle = related(Cycle.objects.filter(pk=known.cycle.pk)).get()
    return follow(course(cycle, at=timezone.now()))


def test_signable_passes_are_told_with_their_feed(house: House) -> None:
    """2 mg/L-N × 400 L / (1000 × 0.45 × 0.092) = 19.3 g/day."""
    ready = now_of(proven_twice(house)).signable

    assert ready is not None
    assert str(ready.feed_g_per_day) == "19.30"
    assert ready.readers == {house.ana.pk}
    assert not ready.hindrances


def test_one_pass_is_told_to_be_too_few(house: House) -> None:
    known = under_way(house)
    known.verdict(at=timezone.now() - 26 * HOUR)

    ready = now_of(known).signable

    assert ready is not None
    assert ready.hindrances == ("2 passes in a row are needed, here are 1.",)
