"""Losses by supplier and species, survival through splits and sales, and weeks against limits."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from quarantine.commands.books import Change, enter, next_code
from quarantine.models import Lot, LotParent
from quarantine.queries.families import families_of
from quarantine.queries.loss_reports import compared, offered, survival_of
from quarantine.queries.weekly_deaths import charted
from quarantine.rules.losses import WINDOWS_DAYS, Family, loss_within, losses_by
from quarantine.rules.survival import Lives
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.dying import arrived, died, gone
from tests.tanks.estate import vessel_of

DAY = timedelta(days=1)
pytestmark = pytest.mark.django_db


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house, code="Q-01")


def _family(*ends: tuple[float, int, bool], alive: int, age: float = 30) -> Family:
    told = tuple(Lives(days=days, count=count, died=died) for days, count, died in ends)
    return Family(
        code="L-0001",
        species="Danio rerio",
        supplier="Marsh Gate Imports",
        arrived=sum(end.count for end in told) + alive,
        dead_on_arrival=0,
        ends=told,
        alive=alive,
        age_days=age,
    )


def test_a_loss_is_of_those_who_died_or_were_followed_to_the_end() -> None:
    """Ten came: one died on day 3, four were sold on day 5, one died on day 9, four are here."""
    family = _family((3, 1, True), (5, 4, False), (9, 1, True), alive=4)

    week, three = (loss_within([family], days) for days in WINDOWS_DAYS)

    assert (week.deaths, week.of, week.left_out) == (1, 6, 4)
    assert (three.deaths, three.of, three.left_out) == (2, 6, 4)
    assert week.interval is not None
    assert week.interval.share == pytest.approx(1 / 6)


def test_a_lot_whose_days_are_not_over_is_left_out_whole() -> None:
    young = _family((2, 3, True), alive=7, age=5)

    assert loss_within([young], 7).of == 0
    assert loss_within([young], 7).interval is None


def test_the_dead_on_arrival_are_a_share_of_all_that_came(house: House, tank: Vessel) -> None:
    arrived(house, tank, count=97, dead_on_arrival=3)
    arrived(house, tank, count=50, supplier="Harbour Tropicals")

    lines = losses_by(
        families_of(house.site, since=NOON - DAY, at=NOON + DAY), lambda one: one.supplier
    )

    assert [(line.name, line.on_arrival.deaths, line.on_arrival.of) for line in lines] == [
        ("Harbour Tropicals", 0, 50),
        ("Marsh Gate Imports", 3, 100),
    ]


def test_deaths_after_a_split_belong_to_those_who_came(house: House, tank: Vessel) -> None:
    """Forty of a hundred are split off; of those two die, ten are sold; one is taken for a test."""
    lot = arrived(house, tank, count=100)
    child = _split(house, lot, tank, count=40)
    died(house, child, tank, at=NOON + 3 * DAY, count=2)
    died(house, lot, tank, at=NOON + 4 * DAY, kind="EUTHANISED", cause="TEST")
    gone(house, child, tank, "SOLD", count=10, at=NOON + 5 * DAY)

    (family,) = families_of(house.site, since=NOON - DAY, at=NOON + 30 * DAY)

    assert (family.arrived, family.alive) == (100, 87)
    assert sorted((end.days, end.count, end.died) for end in family.ends) == [
        (3.0, 2, True),
        (4.0, 1, False),
        (5.0, 10, False),
    ]
    assert sum(life.count for life in family.lives()) == 100


def _split(house: House, lot: Lot, tank: Vessel, *, count: int) -> Lot:
    child = Lot.objects.create(
        site=house.site,
        code=next_code(house.site),
        species=lot.species,
        supplier=lot.supplier,
        acquired_at=lot.acquired_at,
        made="SPLIT",
    )
    LotParent.objects.create(child=child, parent=lot)
    change = Change(
        id=uuid4(),
        kind="SPLIT",
        count=count,
        happened_at=NOON + DAY,
        from_lot=lot,
        from_vessel=tank,
        to_lot=child,
        to_vessel=tank,
    )
    enter(change, by=house.ana, at=NOON + DAY)
    return child


def test_one_supplier_stands_beside_the_others_with_the_log_rank_test(
    house: House, tank: Vessel
) -> None:
    good = arrived(house, tank, count=100)
    bad = arrived(house, tank, count=100, supplier="Harbour Tropicals")
    died(house, good, tank, at=NOON + 3 * DAY, count=1)
    died(house, bad, tank, at=NOON + 3 * DAY, count=20)
    families = families_of(house.site, since=NOON - DAY, at=NOON + 30 * DAY)

    told = survival_of(families, "supplier:Harbour Tropicals")

    assert ("supplier:Harbour Tropicals", "Harbour Tropicals (supplier)") in offered(families)
    assert [(name, curve.deaths) for name, curve, _ in told.curves] == [
        ("Harbour Tropicals", 20),
        ("The others", 1),
    ]
    assert told.comparison is not None
    assert told.comparison.probability < 0.001
    assert compared(told).startswith("Harbour Tropicals against the others: log-rank")
    assert survival_of(families, "").comparison is None
    assert survival_of(families, "owner:nobody").curves[0][0] == "All"


def test_weeks_are_counted_by_the_sites_clock_and_judged_by_exact_limits(
    house: House, tank: Vessel
) -> None:
    """NOON is a Sunday; the first whole week with animals begins the day after."""
    lot = arrived(house, tank, count=200)
    for days in (2, 9, 16):
        died(house, lot, tank, at=NOON + days * DAY, count=1)
    died(house, lot, tank, at=NOON + 23 * DAY, count=20)

    told = charted(house.site, at=NOON + 31 * DAY)

    assert [(week.deaths, week.at_risk) for week in told.weeks][-4:] == [
        (1, 200),
        (1, 199),
        (1, 198),
        (20, 197),
    ]
    assert told.shares is not None
    assert [point.is_outside for point in told.shares.points][-4:] == [False, False, False, True]
    assert told.gaps is not None
    assert told.gaps.gaps == (6, 6, 6)


def test_the_page_the_file_and_the_charts_tell_the_same(
    house: House, tank: Vessel, client: Client
) -> None:
    now = timezone.now()
    lot = arrived(house, tank, count=97, at=now - 30 * DAY, dead_on_arrival=3)
    died(house, lot, tank, at=now - 27 * DAY, count=5)
    client.force_login(house.hale)

    page = client.get(reverse("quarantine:losses", args=[house.site.pk]))
    file = client.get(reverse("quarantine:losses-csv", args=[house.site.pk])).content.decode()
    charts = [
        client.get(reverse(f"quarantine:{name}", args=[house.site.pk]), {"width": "320"})
        for name in ("survival-chart", "weeks-chart")
    ]

    told = page.content.decode()
    assert "3 % (0.623 % to 8.52 %), 3 of 100" in told
    assert "5.15 % (1.69 % to 11.6 %), 5 of 97" in told
    assert "Marsh Gate Imports,Danio rerio,1,3,100,0.030000" in file
    assert all(chart.content.startswith(b"<svg") for chart in charts)


def test_a_site_without_animals_has_an_empty_page(house: House, client: Client) -> None:
    client.force_login(house.mo)

    page = client.get(reverse("quarantine:losses", args=[house.site.pk]))
    chart = client.get(reverse("quarantine:survival-chart", args=[house.site.pk]))

    assert "No lot has arrived within a year." in page.content.decode()
    assert chart.status_code == 200
