"""The demo facility as it stands once loaded; it is loaded once for all of these."""

from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from io import StringIO
from typing import Any, Final

import pytest
from django.core.management import call_command

from deploy.demo_data import load
from deploy.demo_data.acts import ident
from deploy.demo_data.happenings import ISOLATED
from deploy.demo_data.house import SITE_ID
from deploy.demo_data.people import MEMBERS
from deploy.demo_data.quarantine import lot_id
from facility.models import Entry, KeptReport, Notice, Person, Site
from facility.queries.proof import first_breach, unrecorded
from facility.queries.reports import digest_now, not_kept
from quarantine.models import Lot, Move, Release, Stocking
from quarantine.queries.books import book, held_by
from quarantine.queries.holds import holds_at
from quarantine.queries.tracing import trace_from
from quarantine.rules.tracing import Direction, Kind
from tanks.models import Cycle, Feeding, Forecast, Reading, Vessel
from tanks.queries.calibration import calibration
from tanks.queries.cycles import Course, course, latest_forecast, related
from tanks.queries.devices import running
from tanks.queries.exceedances import open_at_site
from tanks.queries.waters import standing, waters
from tanks.rules.stages import Code

pytestmark = pytest.mark.django_db

# The clocks went back 31 days before: every start-up but one has lived through it or begun after.
NOW: Final = datetime(2026, 11, 25, 16, 40, tzinfo=UTC)


@pytest.fixture(scope="module")
def larkmoor(django_db_setup: None, django_db_blocker: Any) -> Iterator[Site]:
    with django_db_blocker.unblock():
        try:
            load.load(now=NOW)
            yield Site.objects.get(pk=SITE_ID)
        finally:
            call_command("flush", interactive=False, verbosity=0)


def _course(code: str) -> Course:
    return course(related(Cycle.objects.all()).get(pk=ident(f"cycle:{code}")), at=NOW)


def test_facility_is_large_enough_to_get_lost_in(larkmoor: Site) -> None:
    found = waters(larkmoor, at=NOW)

    tanks = [member for water in found for member in water.members if member.kind == "TANK"]
    assert len(found) >= 24
    assert len(tanks) >= 70
    assert all(water.litres for water in found)


def test_every_vessel_is_in_exactly_one_water(larkmoor: Site) -> None:
    members = Counter(pk for water in waters(larkmoor, at=NOW) for pk in water.member_ids)

    assert members == Counter(vessel.pk for vessel in standing(larkmoor, NOW))


def test_shut_off_tank_is_a_water_of_its_own(larkmoor: Site) -> None:
    alone = next(water for water in waters(larkmoor, at=NOW) if water.anchor.code == ISOLATED)

    assert [vessel.code for vessel in alone.members] == [ISOLATED]


def test_ledger_is_whole_and_tells_of_every_row(larkmoor: Site) -> None:
    assert first_breach(larkmoor) is None
    assert list(unrecorded()) == []


def test_ledger_was_written_in_order(larkmoor: Site) -> None:
    told = list(Entry.objects.order_by("number").values_list("recorded_at", flat=True))

    assert told == sorted(told)
    assert told[-1] <= NOW
    assert told[-1] - told[0] > timedelta(days=55)


def test_second_run_says_where_to_go_and_changes_nothing(larkmoor: Site) -> None:
    lines, said = Entry.objects.count(), StringIO()

    call_command("demo", address="http://127.0.0.1:9000", stdout=said)

    assert Entry.objects.count() == lines
    assert "Loading" not in said.getvalue()
    assert "http://127.0.0.1:9000/" in said.getvalue()


def test_load_that_is_given_again_changes_nothing(larkmoor: Site) -> None:
    last = Entry.objects.latest("pk").pk

    load.load(now=NOW)

    assert list(Entry.objects.filter(pk__gt=last).values_list("kind", "about")) == []


@pytest.mark.parametrize("member", MEMBERS, ids=lambda member: member.role)
def test_printed_password_opens(larkmoor: Site, member: Any) -> None:
    person = Person.objects.get(username=member.username)

    assert person.check_password(member.password)
    assert person.memberships.get(site=larkmoor).role == member.role


@pytest.mark.parametrize(
    ("code", "stage"),
    [
        ("X-01", Code.CLEARING),
        ("Z-01", Code.NITRITE_STANDING),
        ("B2", Code.STALLED),
        ("E1", Code.PROVEN),
    ],
)
def test_start_ups_stand_at_their_stages(larkmoor: Site, code: str, stage: Code) -> None:
    assert _course(code).stage.code is stage


@pytest.mark.parametrize("code", ["X-01", "Z-01", "B2", "E1"])
def test_start_up_under_way_has_a_forecast(larkmoor: Site, code: str) -> None:
    forecast = latest_forecast(_course(code).cycle)

    assert forecast is not None
    assert forecast.made_at == NOW.replace(minute=0)


def test_stalled_start_up_is_short_of_alkalinity(larkmoor: Site) -> None:
    forecast = latest_forecast(_course("B2").cycle)

    assert forecast is not None
    shares = forecast.as_planned["causes"]
    assert max(shares, key=lambda cause: shares[cause]) == "low_alkalinity"
    assert shares["low_alkalinity"] > 0.9
    assert forecast.as_planned["next_step"]["kind"] == "buffer"


def test_stalled_start_up_reads_acid_with_ammonia_left(larkmoor: Site) -> None:
    last = {one.parameter: one for one in _course("B2").measures}

    assert 6.1 < last["PH"].low < 6.6
    assert last["TAN"].low > 0.5
    assert last["ALKALINITY"].high is not None
    assert last["ALKALINITY"].high < 0.2


def test_start_up_of_day_nine_outruns_the_forecast_of_the_slow_one(larkmoor: Site) -> None:
    fast, slow = (latest_forecast(_course(code).cycle) for code in ("X-01", "Z-01"))

    assert fast is not None
    assert slow is not None
    assert fast.as_planned["ready_at_h"]["p50"] < slow.as_planned["ready_at_h"]["p50"]
    assert slow.as_planned["causes"]["nitrite_oxidisers_missing"] > 0.5


def test_certificate_is_in_force_and_signed_by_a_second_person(larkmoor: Site) -> None:
    told = _course("E1")

    assert told.certificate is not None
    assert told.certificate.is_in_force
    readers = {
        person for one in told.challenges if one.judgement for person in one.judgement.readers
    }
    assert told.certificate.certificate.by_id not in readers


def test_certified_feed_covers_the_declared_one(larkmoor: Site) -> None:
    told = _course("E1")

    assert told.certificate is not None
    certified = told.certificate.certificate.feed_g_per_day
    assert certified >= told.cycle.declared_feed_g_per_day


def test_proven_water_is_on_its_way_to_stocking_values(larkmoor: Site) -> None:
    told = _course("E1")
    salinities = [row for row in told.story.readings if row.parameter == "SALINITY"]

    assert {ramp.of for ramp in told.story.ramps} == {"SALINITY", "TEMPERATURE"}
    assert 20 < salinities[-1].interval.low < 33


def test_first_start_up_was_stocked_through_the_gate(larkmoor: Site) -> None:
    told = _course("Q1")

    entered = Stocking.objects.get(admission__cycle=told.cycle)
    assert told.cycle.outcome == Cycle.Outcome.STOCKED
    assert told.cycle.ended_at is not None
    assert entered.admission.happened_at <= entered.happened_at <= told.cycle.ended_at
    assert {row["state"] for row in entered.admission.requirements} == {"met"}


def test_past_forecasts_knew_nothing_that_came_later(larkmoor: Site) -> None:
    kept = Forecast.objects.filter(made_at__lt=NOW.replace(minute=0)).select_related("cycle")

    assert len(kept) > 30
    for one in kept:
        made_h = (one.made_at - one.cycle.started_at) / timedelta(hours=1)
        told = [*one.case["readings"], *one.case["events"]]
        assert max(entry["t_h"] for entry in told) <= made_h


def test_forecasts_can_be_held_against_what_came(larkmoor: Site) -> None:
    found = calibration(larkmoor, at=NOW)

    assert (found.passed, found.unfinished, found.open_count) == (9, 1, 3)
    assert {score.count for score in found.scores if score.day <= 7} == {10}


@pytest.mark.parametrize("qualifier", Reading.Qualifier.values)
def test_readings_of_every_kind_are_there(larkmoor: Site, qualifier: str) -> None:
    assert Reading.objects.current().filter(qualifier=qualifier).count() >= 3


def test_slips_were_corrected_with_a_reason_and_stay(larkmoor: Site) -> None:
    corrected = Reading.objects.exclude(corrects=None).select_related("corrects")

    assert len(corrected) >= 3
    assert all(row.reason and row.corrects.as_entered != row.as_entered for row in corrected)
    assert Feeding.objects.filter(withdrawn=True).count() == 1


def test_one_sample_was_written_up_the_day_after(larkmoor: Site) -> None:
    late = [
        row
        for row in Reading.objects.filter(corrects=None)
        if row.recorded_at - row.happened_at > timedelta(hours=12)
    ]

    assert len({row.sample for row in late}) == 1


def test_alerts_were_sent_to_who_answers_for_them(larkmoor: Site) -> None:
    notices = Notice.objects.filter(alert__site=larkmoor)

    assert notices.filter(delivered_at__isnull=False).exists()
    assert not notices.filter(next_try_at__isnull=False).exists()
    assert {notice.channel.kind for notice in notices} == {"EMAIL"}


def test_devices_are_off_and_overdue(larkmoor: Site) -> None:
    vessels = Vessel.objects.filter(site=larkmoor).values_list("pk", flat=True)
    overdue = [one.device.name for one in running(vessels, at=NOW) if one.is_overdue]

    assert overdue == ["B2 drum filter", "S1 ultraviolet unit"]


def test_the_house_kept_its_reports_and_none_is_waiting(larkmoor: Site) -> None:
    kept = KeptReport.objects.filter(site=larkmoor)

    assert not_kept(larkmoor, at=NOW) == []
    assert (kept.filter(kind="WEEK").count(), kept.filter(kind="MONTH").count()) == (8, 2)
    assert not kept.exclude(by=None).exists()
    latest = kept.filter(kind="WEEK").latest("begins_on")
    assert latest.made_at == datetime(2026, 11, 23, 3, tzinfo=UTC)
    assert digest_now(latest) == latest.digest


def test_what_is_out_of_range_was_acted_upon_and_waits_for_its_retest(larkmoor: Site) -> None:
    nitrite = next(
        one for one in open_at_site(larkmoor, at=NOW) if one.told.exceedance.parameter == "NITRITE"
    )

    assert nitrite.told.anchor.code == "S1"
    assert [act.action for act in nitrite.told.actions] == ["water-change"]
    assert nitrite.next_retest is not None


def test_a_lot_came_was_treated_and_went_to_where_it_lives(larkmoor: Site) -> None:
    lot = Lot.objects.get(pk=lot_id("harlequin"))

    told = book(lot, at=NOW)

    assert (told.came, told.dead_on_arrival, told.died, told.remaining) == (117, 3, 3, 114)
    assert told.closes
    held = {Vessel.objects.get(pk=pk).code: count for pk, count in held_by(lot, at=NOW).items()}
    assert held == {"Z-03": 104, "P-01": 10}
    assert Move.objects.get().release == Release.objects.get(lot=lot)


def test_a_net_that_went_round_uncleaned_is_a_way_to_the_held_water(larkmoor: Site) -> None:
    found = trace_from(
        larkmoor,
        f"tanks.vessel:{ident('Z-02')}",
        direction=Direction.BACKWARD,
        since=NOW - timedelta(days=30),
        until=NOW,
        without=[Kind.PEOPLE],
    )

    assert found is not None
    assert {"N-01", "Q1-03", "F-26-11"} <= {stop.place.name for stop in found.stops}
    assert [hold.vessel.code for hold in holds_at(larkmoor, at=NOW) if hold.vessel] == ["Z-02"]
