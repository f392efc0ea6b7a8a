"""Shipped policy and limits. Figures: common practice, no source, unless named beside them."""

from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility.commands.places import OpenSite, open_site
from facility.models import Entry, Site
from facility.refusals import NotAllowed, NotFound
from tanks.commands.policies import AdoptDefaults, PolicyInForce, adopt_defaults
from tanks.models import Limit, Policy
from tests.cast import NOON, House


@pytest.fixture
def bare_site(house: House) -> Site:
    """A second site, which has adopted nothing."""
    command = OpenSite(id=uuid4(), name="Weir Lane", time_zone="Europe/Lisbon", jurisdiction="PT")
    return open_site(command, by=house.mo, at=NOON)


def test_site_gets_a_policy_of_common_practice(house: House, bare_site: Site) -> None:
    command = AdoptDefaults(id=uuid4(), site_id=bare_site.pk)

    policy = adopt_defaults(command, by=house.mo, at=NOON)

    assert (policy.temperature_low_c, policy.temperature_high_c) == (Decimal(26), Decimal(30))
    assert policy.marine_salinity_low_g_kg == Decimal(18)
    assert policy.marine_salinity_high_g_kg == Decimal(20)
    assert policy.tan_cap_mg_l_n == Decimal(5)
    assert (policy.challenge_mg_l_n, policy.challenge_hours) == (Decimal(2), Decimal(24))
    assert policy.challenge_limit_mg_l_n == Decimal("0.25")
    assert (policy.passes_needed, policy.ph_floor) == (2, Decimal("6.5"))
    assert policy.source == "common practice, no source"
    assert not policy.is_verified


def test_one_ledger_line_holds_the_policy_and_every_rule(house: House, bare_site: Site) -> None:
    adopt_defaults(AdoptDefaults(id=uuid4(), site_id=bare_site.pk), by=house.mo, at=NOON)

    line = Entry.objects.get(site=bare_site, kind="tanks.adopt-defaults")
    limits = Limit.objects.filter(site=bare_site).count()
    assert len(line.facts["rows"]) == 1 + limits + bare_site.alarm_rules.count()


def test_chlorine_limits_are_those_of_the_published_criteria(house: House) -> None:
    # US EPA 440/5-84-030 (January 1985): fresh 19 and 11 ug/L, salt 13 and 7.5 ug/L as Cl2.
    def highs(kind: str) -> set[Decimal | None]:
        rows = Limit.objects.filter(site=house.site, parameter="CHLORINE", water_kind=kind)
        return {limit.high for limit in rows}

    assert highs("FRESH") == {Decimal("0.019"), Decimal("0.011")}
    assert highs("MARINE") == {Decimal("0.013"), Decimal("0.0075")}
    assert all(limit.is_verified for limit in Limit.objects.filter(parameter="CHLORINE"))


def test_salt_water_ammonia_limit_is_the_published_one(house: House) -> None:
    # US EPA 440/5-88-004 (April 1989): 0.233 mg/L un-ionised ammonia as NH3, one-hour average.
    limit = Limit.objects.get(parameter="UNIONISED_AMMONIA", water_kind="MARINE", level=1)

    assert (limit.high, limit.basis) == (Decimal("0.233"), "NH3")


def test_every_limit_has_a_source_a_unit_and_an_edge(house: House) -> None:
    limits = list(Limit.objects.filter(site=house.site))

    assert limits
    for limit in limits:
        assert limit.source
        assert limit.unit
        assert (limit.low, limit.high) != (None, None)
        in_nitrogen = limit.parameter in {"TAN", "NITRITE", "NITRATE", "UNIONISED_AMMONIA"}
        assert not in_nitrogen or limit.basis


def test_what_is_remembered_and_not_read_is_never_called_verified(house: House) -> None:
    remembered = Limit.objects.filter(source__contains="from memory")

    assert remembered.exists()
    assert not any(limit.is_verified for limit in remembered)
    assert all(limit.jurisdiction == "GB-ENG" for limit in remembered)


def test_delivered_twice_is_adopted_once(house: House, bare_site: Site) -> None:
    command = AdoptDefaults(id=uuid4(), site_id=bare_site.pk)

    first = adopt_defaults(command, by=house.mo, at=NOON)
    again = adopt_defaults(command, by=house.mo, at=NOON)

    assert first == again
    assert Entry.objects.filter(site=bare_site, kind="tanks.adopt-defaults").count() == 1


def test_site_with_a_policy_adopts_no_second_one(house: House) -> None:
    with pytest.raises(PolicyInForce, match="Kestrel Yard already has a start-up policy"):
        adopt_defaults(AdoptDefaults(id=uuid4(), site_id=house.site.pk), by=house.mo, at=NOON)


def test_stranger_finds_no_site_and_staff_may_not(house: House) -> None:
    command = AdoptDefaults(id=uuid4(), site_id=house.site.pk)

    with pytest.raises(NotFound):
        adopt_defaults(command, by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        adopt_defaults(command, by=house.ana, at=NOON)


def test_database_refuses_two_policies_at_a_time(house: House) -> None:
    policy = Policy.objects.get(site=house.site)
    policy.pk = uuid4()
    policy.period = DateTimeTZRange(NOON, None)

    with pytest.raises(IntegrityError, match="tanks_policy_one_at_a_time"), transaction.atomic():
        policy.save(force_insert=True)


def test_database_refuses_a_limit_without_an_edge(house: House) -> None:
    limit = Limit.objects.filter(site=house.site).order_by("pk")[0]
    limit.pk, limit.low, limit.high = uuid4(), None, None

    with pytest.raises(IntegrityError, match="tanks_limit_has_an_edge"), transaction.atomic():
        limit.save(force_insert=True)
