"""The jobs that keep watch: after what was logged and by the clock."""

from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid4

import pytest
from pytest_django import DjangoCaptureOnCommitCallbacks

from deploy.celery import app
from facility.models import Alert, Site
from tanks import jobs
from tanks.commands.readings import LogReadings, log_readings
from tests.cast import House
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged, sample, taken

HOUR = timedelta(hours=1)


def test_what_was_read_is_looked_at_after_commit(
    house: House,
    monkeypatch: pytest.MonkeyPatch,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    asked: list[tuple[str, ...]] = []

    def note(*, args: tuple[str, ...], retry: bool) -> None:
        asked.append(args)

    monkeypatch.setattr(jobs.watch_water, "apply_async", note)
    tank = vessel_of(house)

    with django_capture_on_commit_callbacks(execute=True):
        logged(house, tank, kit(house, "TAN"), "0.6")

    assert (str(tank.pk),) in asked


def test_a_rule_set_anew_has_the_whole_site_looked_at(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[tuple[str, ...]] = []

    def note(*, args: tuple[str, ...], retry: bool) -> None:
        asked.append(args)

    monkeypatch.setattr(jobs.watch_site, "apply_async", note)

    jobs.keep_watch("tanks.set-alarm-rule", f"facility.site:{house.site.pk}", {})

    assert asked == [(str(house.site.pk),)]


@pytest.mark.parametrize("whole", [True, False])
def test_a_job_raises_what_is_seen_now(house: House, *, whole: bool) -> None:
    now = datetime.now(UTC)
    tank = vessel_of(house)
    logged(house, tank, kit(house, "TAN"), "0.6", at=now - HOUR)

    if whole:
        jobs.watch_site(str(house.site.pk))
    else:
        jobs.watch_water(str(tank.pk))

    assert Alert.objects.get().about == f"tanks.vessel:{tank.pk}"


def test_a_job_for_what_is_not_there_does_nothing(house: House) -> None:
    jobs.watch_site(str(uuid4()))
    jobs.watch_water(str(uuid4()))

    assert not Alert.objects.exists()


def test_each_site_is_asked_for_and_the_clock_asks(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[UUID] = []

    def note(*, args: tuple[str, ...], retry: bool) -> None:
        asked.append(UUID(args[0]))

    monkeypatch.setattr(jobs.watch_site, "apply_async", note)

    jobs.watch_sites()

    assert asked == list(Site.objects.values_list("pk", flat=True))
    assert "tanks.watch-sites" in {each["task"] for each in app.conf.beat_schedule.values()}


def test_without_rules_nothing_is_seen(house: House) -> None:
    now = datetime.now(UTC)
    command: LogReadings = sample(vessel_of(house), taken(kit(house, "TAN"), "0.6"), at=now - HOUR)
    log_readings(command, by=house.ana, at=now)
    house.site.alarm_rules.update(period=(None, now - HOUR))

    jobs.watch_site(str(house.site.pk))

    assert not Alert.objects.exists()
