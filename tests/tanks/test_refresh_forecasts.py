"""The jobs that forecast: after what was logged and by night, together, and again after a fault."""

from datetime import datetime
from uuid import uuid4

import pytest
from celery.exceptions import Retry
from django.db import InterfaceError, OperationalError
from pytest_django import DjangoCaptureOnCommitCallbacks

from tanks import jobs
from tanks.commands.cycles import start_cycle
from tanks.models import Cycle, Forecast
from tests.cast import NOON, House
from tests.tanks.estate import measured, vessel_of
from tests.tanks.proving import DAY, HOUR, Proving, proving, start_of


@pytest.fixture
def tank(house: House) -> Proving:
    return proving(house)


def test_a_job_finds_the_start_up_of_a_water(
    tank: Proving, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[object] = []

    def ask(cycle: Cycle, *, at: datetime) -> None:
        asked.append(cycle)

    monkeypatch.setattr(jobs, "forecast_now", ask)

    jobs.refresh_forecast(str(tank.cycle.pk))
    jobs.refresh_forecast_of_water(str(tank.vessel.pk))
    jobs.refresh_forecast(str(uuid4()))
    jobs.refresh_forecast_of_water(str(uuid4()))

    assert asked == [tank.cycle, tank.cycle]


def test_a_broker_that_is_down_costs_no_entry(
    tank: Proving, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise ConnectionRefusedError("nobody listens")

    monkeypatch.setattr(jobs.refresh_forecast, "apply_async", refuse)

    jobs.follow("tanks.start-cycle", f"tanks.cycle:{tank.cycle.pk}", {})

    assert "could not be asked for" in caplog.text


def test_what_changes_a_forecast_asks_for_a_new_one_after_commit(
    tank: Proving,
    monkeypatch: pytest.MonkeyPatch,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    asked: list[tuple[str, ...]] = []

    def note(*, args: tuple[str, ...], retry: bool) -> None:
        asked.append(args)

    monkeypatch.setattr(jobs.refresh_forecast_of_water, "apply_async", note)

    with django_capture_on_commit_callbacks(execute=True):
        tank.read("TAN", "2.0", at=NOON)

    assert asked == [(str(tank.vessel.pk),)]


def test_start_ups_are_forecast_together_as_each_alone(
    tank: Proving, house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One run for all of a night's start-ups; a forecast does not depend on its company."""
    other = _beside(tank, "A-02")
    for known in (tank, other):
        known.dose(at=NOON + HOUR, purpose="AMMONIA")
        known.read("TAN", "1.6", at=NOON + DAY)

    jobs.forecast_together([tank.cycle, other.cycle], at=NOON + 2 * DAY, weighs=False)

    first, second = (Forecast.objects.get(cycle=known.cycle) for known in (tank, other))
    assert first.as_planned["ready_at_h"] == second.as_planned["ready_at_h"]
    assert "deviations" not in first.as_planned


def test_what_leaving_the_plan_costs_is_kept_with_the_forecast(tank: Proving) -> None:
    tank.dose(at=NOON + HOUR, purpose="AMMONIA")
    tank.read("TAN", "1.6", at=NOON + DAY)

    jobs.forecast_now(tank.cycle, at=NOON + 2 * DAY)

    weighed = Forecast.objects.get().as_planned["deviations"]
    assert {one["departure"] for one in weighed} == {
        "skip_dose",
        "half_doses",
        "double_doses",
        "ignore_nitrite",
        "never_buffer",
    }


def test_every_open_start_up_is_asked_for_in_batches(
    tank: Proving, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = _beside(tank, "A-02")
    asked: list[tuple[str, ...]] = []

    def note(*, args: tuple[str, ...], retry: bool) -> None:
        asked.append(args)

    monkeypatch.setattr(jobs.refresh_batch, "apply_async", note)
    monkeypatch.setattr(jobs, "_AT_ONCE", 2)

    jobs.refresh_forecasts()

    assert [set(keys.split()) for (keys,) in asked] == [{str(tank.cycle.pk), str(other.cycle.pk)}]


def test_one_that_cannot_be_forecast_leaves_the_others_to_jobs_of_their_own(
    tank: Proving, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    asked: list[tuple[str, ...]] = []

    def stumble(*_: object, **__: object) -> None:
        raise ArithmeticError("one of them is out of every range")

    def note(*, args: tuple[str, ...], retry: bool) -> None:
        asked.append(args)

    monkeypatch.setattr(jobs, "answers_to_all", stumble)
    monkeypatch.setattr(jobs.refresh_forecast, "apply_async", note)

    jobs.refresh_batch(str(tank.cycle.pk))

    assert asked == [(str(tank.cycle.pk),)]
    assert "one by one" in caplog.text


@pytest.mark.parametrize("fault", [OperationalError, InterfaceError])
def test_job_comes_back_when_the_database_was_away(
    tank: Proving, monkeypatch: pytest.MonkeyPatch, fault: type[Exception]
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise fault("the server closed the connection unexpectedly")

    monkeypatch.setattr(jobs, "keep_forecast", refuse)

    with pytest.raises(Retry):
        jobs.refresh_forecast.apply(args=(str(tank.cycle.pk),), throw=True)


def _beside(tank: Proving, code: str) -> Proving:
    """A second start-up, alike but for its tank."""
    vessel = vessel_of(tank.house, code=code)
    measured(tank.house, vessel, litres="400")
    cycle = start_cycle(start_of(vessel, tank.salt), by=tank.house.ana, at=NOON)
    return Proving(
        house=tank.house, vessel=vessel, salt=tank.salt, cycle=cycle, methods=tank.methods
    )
