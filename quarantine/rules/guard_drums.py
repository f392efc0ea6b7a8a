"""Slips of the container: another one, out of date, spoiled by cold, never tried on a few."""

from collections.abc import Iterator

from facility.rules.wording import written
from quarantine.rules.guard_facts import Asked, Drum, Ground, Regime, Stopped


def drum_stops(asked: Asked, ground: Ground, regime: Regime) -> Iterator[Stopped]:
    drum = asked.drum
    if drum.agent != regime.code:
        yield Stopped(
            code="wrong-agent",
            sentence=f"{drum.name} does not hold {regime.name}; its figures are never converted.",
            is_final=True,
        )
    if drum.is_retired:
        yield Stopped(
            code="container-retired",
            sentence=f"{drum.name} was taken off the shelf: choose another container.",
            is_final=True,
        )
    if drum.expires_on is None or drum.expires_on < ground.today:
        until = f"was good until {drum.expires_on:%d %B %Y}" if drum.expires_on else "has no date"
        yield Stopped(code="container-expired", sentence=f"{drum.name} {until}.")
    yield from _cold(drum, regime)
    yield from _tried(asked, ground, regime)


def _cold(drum: Drum, regime: Regime) -> Iterator[Stopped]:
    least = regime.stored_above_c
    if least is None:
        return
    if drum.coldest_c is None:
        sentence = f"How cold {drum.name} was stored is not recorded; cold spoils {regime.name}."
        yield Stopped(code="storage-unknown", sentence=sentence)
    elif drum.coldest_c < least:
        yield Stopped(
            code="stored-cold",
            sentence=f"{drum.name} was stored at {written(drum.coldest_c)} °C; "
            f"{regime.name} must not get colder than {written(least)} °C.",
        )


def _tried(asked: Asked, ground: Ground, regime: Regime) -> Iterator[Stopped]:
    """A trial belongs to one container: another, however alike, opens the question again."""
    drum = asked.drum
    last = max(ground.earlier, key=lambda one: one.at, default=None)
    is_other = last is not None and last.drum != drum.id
    if drum.was_harmful:
        sentence = f"Animals came to harm in the latest trial of {drum.name}."
        yield Stopped(code="trial-harmed", sentence=sentence)
    elif last is not None and is_other and not drum.is_tried:
        yield Stopped(
            code="container-changed",
            sentence=f"The last dose came from {last.drum_name}; {drum.name} has not been tried "
            "on a few animals yet.",
        )
    elif regime.takes_trial and not drum.is_tried:
        sentence = f"{drum.name} has not been tried on a few animals yet."
        yield Stopped(code="container-untried", sentence=sentence)
