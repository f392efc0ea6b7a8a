"""Start a start-up: what it needs, and every reason why it may not begin."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection, transaction

from facility.commands.deliveries import InTheFuture
from facility.commands.places import OpenArea, OpenSite, open_area, open_site
from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands import startable
from tanks.commands.cycles import start_cycle
from tanks.commands.litres import NotYetThere, VolumeUnknown
from tanks.models import Cycle, Policy, Product, Vessel
from tests.cast import NOON, House
from tests.tanks.estate import measured, opened, system_of, vessel_of
from tests.tanks.proving import DAY, start_of
from tests.tanks.shelf import shelved


@pytest.fixture
def tank(house: House) -> Vessel:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return vessel


@pytest.fixture
def salt(house: House) -> Product:
    return shelved(house)


def test_start_up_begins_under_the_policy_in_force(
    house: House, tank: Vessel, salt: Product
) -> None:
    cycle = start_cycle(start_of(tank, salt), by=house.ana, at=NOON)

    cycle.refresh_from_db()
    assert (cycle.vessel, cycle.ammonia, cycle.started_by) == (tank, salt, house.ana)
    assert cycle.policy == Policy.objects.get(site=house.site)
    line = Entry.objects.get(kind="tanks.start-cycle")
    assert (line.about, line.by) == (f"tanks.cycle:{cycle.pk}", house.ana)
    assert line.facts["water"] == [str(tank.pk)]


def test_started_twice_is_started_once(house: House, tank: Vessel, salt: Product) -> None:
    command = start_of(tank, salt, declared_feed_g_per_day=Decimal("10.004"))

    first = start_cycle(command, by=house.ana, at=NOON)
    again = start_cycle(command, by=house.ana, at=NOON)

    assert first == again
    assert Cycle.objects.count() == Entry.objects.filter(kind="tanks.start-cycle").count() == 1
    with pytest.raises(IdTaken):
        start_cycle(replace(command, seed="NONE"), by=house.ana, at=NOON)


def test_stranger_finds_no_tank_and_auditor_may_not_start(
    house: House, tank: Vessel, salt: Product
) -> None:
    with pytest.raises(NotFound):
        start_cycle(start_of(tank, salt), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        start_cycle(start_of(tank, salt), by=house.hale, at=NOON)


def test_unmeasured_members_are_named(house: House, tank: Vessel, salt: Product) -> None:
    opened(house, tank, system_of(house, code="S-9"))

    with pytest.raises(VolumeUnknown, match="S-9"):
        start_cycle(start_of(tank, salt), by=house.ana, at=NOON)


def test_one_start_up_at_a_time_in_one_water(house: House, tank: Vessel, salt: Product) -> None:
    system = system_of(house)
    measured(house, system, litres="100")
    opened(house, tank, system)
    start_cycle(start_of(tank, salt), by=house.ana, at=NOON)

    with pytest.raises(startable.CycleOpen, match="29 Mar 2026"):
        start_cycle(start_of(system, salt), by=house.ana, at=NOON)


def test_database_keeps_one_open_start_up_a_vessel(
    house: House, tank: Vessel, salt: Product
) -> None:
    cycle = start_cycle(start_of(tank, salt), by=house.ana, at=NOON)
    columns = [str(field.column) for field in Cycle._meta.concrete_fields]
    names = ", ".join(column for column in columns if column != "id")

    with pytest.raises(IntegrityError, match="tanks_one_open_cycle"), transaction.atomic():
        connection.cursor().execute(
            f"INSERT INTO tanks_cycle (id, {names}) "
            f"SELECT gen_random_uuid(), {names} FROM tanks_cycle WHERE id = %s",
            [cycle.pk],
        )


def test_a_stock_solution_is_fit_and_anything_else_is_not(house: House, tank: Vessel) -> None:
    soda = shelved(house, substance="SODIUM_BICARBONATE")

    with pytest.raises(startable.AmmoniaUnfit, match="not ammonium chloride"):
        start_cycle(start_of(tank, soda), by=house.ana, at=NOON)

    stock = shelved(house, form="SOLUTION", strength="50")
    assert start_cycle(start_of(tank, stock), by=house.ana, at=NOON).ammonia == stock


def test_expired_and_retired_ammonia_are_unfit(house: House, tank: Vessel) -> None:
    expired = shelved(house, batch="OLD", expires_on=date(2026, 3, 30))
    retired = shelved(house, batch="GONE")
    Product.objects.filter(pk=retired.pk).update(retired_at=NOON)

    with pytest.raises(startable.AmmoniaUnfit, match="expired on 30 March 2026"):
        start_cycle(
            start_of(tank, expired, happened_at=NOON + 2 * DAY), by=house.ana, at=NOON + 2 * DAY
        )
    with pytest.raises(startable.AmmoniaUnfit, match="put away"):
        start_cycle(start_of(tank, retired), by=house.ana, at=NOON)


@pytest.mark.parametrize(
    ("changes", "refusal", "field"),
    [
        ({"water_kind": "SODA"}, startable.UnknownChoice, "water_kind"),
        ({"seed": "MAGIC"}, startable.UnknownSeed, "seed"),
        ({"seed": "MATURE_MEDIA", "seed_origin": " "}, startable.OriginMissing, "seed_origin"),
        (
            {"cycling_temperature_c": Decimal(80)},
            startable.CyclingTemperatureUnfit,
            "cycling_temperature_c",
        ),
        (
            {"stocking_temperature_c": Decimal(0)},
            startable.StockingTemperatureUnfit,
            "stocking_temperature_c",
        ),
        (
            {"water_kind": "MARINE", "stocking_salinity_g_kg": Decimal(35)},
            startable.CyclingSalinityUnfit,
            "cycling_salinity_g_kg",
        ),
        (
            {"stocking_salinity_g_kg": Decimal(35)},
            startable.StockingSalinityUnfit,
            "stocking_salinity_g_kg",
        ),
        ({"declared_feed_g_per_day": Decimal(0)}, startable.FeedUnfit, "declared_feed_g_per_day"),
        ({"protein_share": Decimal(45)}, startable.ProteinUnfit, "protein_share"),
        ({"happened_at": NOON + timedelta(hours=1)}, InTheFuture, "happened_at"),
        ({"happened_at": NOON - DAY}, NotYetThere, "happened_at"),
    ],
)
def test_figures_that_cannot_be_are_refused_beside_their_field(
    house: House,
    tank: Vessel,
    salt: Product,
    changes: dict[str, object],
    refusal: type[Exception],
    field: str,
) -> None:
    with pytest.raises(refusal) as refused:
        start_cycle(start_of(tank, salt, **changes), by=house.ana, at=NOON)

    assert refused.value.field == field  # type: ignore[attr-defined]  # every refusal has one
    assert str(refused.value).endswith(".")
    assert not Cycle.objects.exists()


def test_a_site_without_a_policy_starts_nothing(house: House) -> None:
    site = open_site(
        OpenSite(id=uuid4(), name="Bare Yard", time_zone="Europe/Lisbon", jurisdiction="PT"),
        by=house.mo,
        at=NOON,
    )
    place = OpenArea(id=uuid4(), site_id=site.pk, name="Back", hygiene_rank=1)
    bare = replace(house, site=site, area=open_area(place, by=house.mo, at=NOON))
    vessel = vessel_of(bare)
    measured(bare, vessel, litres="400")

    with pytest.raises(startable.NoPolicy, match="Bare Yard"):
        start_cycle(start_of(vessel, shelved(bare)), by=house.mo, at=NOON)


def test_before_the_tank_stood_there_nothing_began(house: House, salt: Product) -> None:
    later = vessel_of(house, code="B-2", at=NOON + DAY)

    with pytest.raises(NotYetThere):
        start_cycle(start_of(later, salt), by=house.ana, at=NOON + DAY)


def test_feed_over_the_cap_is_refused_with_the_most_that_can_be_proven(
    house: House, tank: Vessel, salt: Product
) -> None:
    """5 x 400 / (1000 x 0.45 x 0.092) = 48.3 g/day: Timmons & Ebeling 2013."""
    with pytest.raises(startable.FeedUnfit, match=r"at most 48\.3 g/day"):
        start_cycle(
            start_of(tank, salt, declared_feed_g_per_day=Decimal(49)), by=house.ana, at=NOON
        )
