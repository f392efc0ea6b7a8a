"""Challenges and certificates as they stand now, judged again from what is now held true."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from facility.rules.wording import written
from tanks.models import Certificate, Challenge, Device, Dose, Incident, Product, Verdict
from tanks.queries.measures import standing_measure
from tanks.queries.policies import terms_of
from tanks.queries.stories import Story, is_standing, standing
from tanks.rules.certificates import Happening, InForce, Kind, Proven, Standing, state
from tanks.rules.measured import of
from tanks.rules.proof import WINDOW_SLACK, Judgement, Trial, ends_at, judge

_BEFELL = {
    Incident.Kind.DISINFECTANT.value: Kind.DISINFECTANT,
    Incident.Kind.POWER_LOSS.value: Kind.POWER_LOSS,
    Incident.Kind.MEDIA_DRIED.value: Kind.MEDIA_DRIED,
    Incident.Kind.MEDIA_REPLACED.value: Kind.MEDIA_REPLACED,
}
_FEEDS = {Dose.Purpose.AMMONIA.value, Dose.Purpose.CHALLENGE.value}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """A challenge; ``judgement`` is made anew from the readings its verdict names."""

    challenge: Challenge
    ends_at: datetime
    verdict: Verdict | None
    judgement: Judgement | None

    @property
    def passed(self) -> bool:
        return self.judgement is not None and self.judgement.passed


@dataclass(frozen=True, slots=True, kw_only=True)
class Certified:
    """A certificate and whether it is in force."""

    certificate: Certificate
    standing: Standing

    @property
    def is_in_force(self) -> bool:
        return isinstance(self.standing, InForce)


def tried(told: Story) -> tuple[Tried, ...]:
    """Every challenge in order of its dose; one withdrawn counts still if it had been judged."""
    verdicts = {row.challenge_id: row for row in told.verdicts if is_standing(row)}
    judged = {row.challenge_id for row in told.verdicts}
    counted = (row for row in told.challenges if row.pk in judged or _is_on(told, row))
    found = [_tried(told, row, verdicts.get(row.pk)) for row in counted]
    return tuple(sorted(found, key=lambda one: (one.challenge.dose.happened_at, str(one.ends_at))))


def certified(told: Story) -> tuple[Certified, ...]:
    """Every certificate that was not withdrawn, oldest first."""
    trials = tried(told)
    return tuple(_certified(told, row, trials) for row in standing(told.certificates))


def in_force(told: Story) -> Certified | None:
    """The certificate now in force, or None."""
    found = [one for one in certified(told) if one.is_in_force]
    return found[-1] if found else None


def trial_of(
    told: Story, challenge: Challenge, *, start_id: UUID, tan_id: UUID, nitrite_id: UUID
) -> Trial:
    """Gather what a challenge is to be judged by."""
    start, tan, nitrite = (
        standing_measure(reading_id, told.readings) for reading_id in (start_id, tan_id, nitrite_id)
    )
    dosed_at = challenge.dose.happened_at
    read_at = max((one.at for one in (tan, nitrite) if one), default=dosed_at)
    until = _watched_until(told, challenge, read_at)
    around = (one for one in told.measures if dosed_at <= one.at <= until)
    return Trial(
        dosed_at=dosed_at,
        dose_stands=is_standing(challenge.dose) and is_standing(challenge),
        target_mg_l_n=float(challenge.target_mg_l_n),
        start=start,
        tan=tan,
        nitrite=nitrite,
        around=tuple(around),
        disturbances=tuple(_disturbances(told, dosed_at, read_at)),
        terms=terms_of(told.cycle.policy),
    )


def happenings(
    told: Story, *, since: datetime, passes: Collection[UUID] = ()
) -> Iterator[Happening]:
    """Yield what feeds or may void a proof that began at ``since`` and rests on ``passes``."""
    yield from _meals(told)
    yield from _incidents(told)
    yield from _acid(told)
    yield from _members(told, since)
    yield from _volumes(told, since)
    yield from _filters_out(told, since)
    yield from _left_over(told, passes)


def fed_at(told: Story) -> datetime | None:
    """When the filter last got ammonia or feed."""
    return max((one.at for one in _meals(told)), default=None)


def proven_by(told: Story, first: Challenge, *, members: frozenset[UUID], litres: float) -> Proven:
    return Proven(
        since=first.dose.happened_at,
        members=members,
        litres=litres,
        terms=terms_of(told.cycle.policy),
    )


def _watched_until(told: Story, challenge: Challenge, read_at: datetime) -> datetime:
    """Until the window closes or the next meal: a high reading must not be passed over."""
    closes = ends_at(challenge.dose.happened_at, terms_of(told.cycle.policy)) + WINDOW_SLACK
    meals = [one.at for one in _meals(told) if one.at >= read_at]
    return max(read_at, min([closes, *meals]))


def _is_on(told: Story, challenge: Challenge) -> bool:
    """A dose taken back before the end readings could hide no failure: it was logged by mistake."""
    dose = challenge.dose
    if is_standing(dose):
        return is_standing(challenge)
    known_from = ends_at(dose.happened_at, terms_of(told.cycle.policy)) - WINDOW_SLACK
    return is_standing(challenge) and dose.correction.recorded_at >= known_from


def _tried(told: Story, challenge: Challenge, verdict: Verdict | None) -> Tried:
    judgement = None
    if verdict is not None:
        ids = {
            "start_id": verdict.start_id,
            "tan_id": verdict.tan_id,
            "nitrite_id": verdict.nitrite_id,
        }
        judgement = judge(trial_of(told, challenge, **ids))
    due = ends_at(challenge.dose.happened_at, terms_of(told.cycle.policy))
    return Tried(challenge=challenge, ends_at=due, verdict=verdict, judgement=judgement)


def _certified(told: Story, row: Certificate, trials: tuple[Tried, ...]) -> Certified:
    passes = [one for one in trials if one.verdict and one.verdict.pk in row.pass_ids]
    verdicts = {verdict.pk: verdict for verdict in told.verdicts}
    first = min(
        (verdicts[pk].challenge for pk in row.pass_ids if pk in verdicts),
        key=lambda challenge: challenge.happened_at,
        default=None,
    )
    proven = Proven(
        since=first.happened_at if first else row.happened_at,
        members=frozenset(UUID(member["id"]) for member in row.members),
        litres=float(row.water_litres),
        terms=terms_of(told.cycle.policy),
    )
    events = [
        *happenings(told, since=proven.since, passes=row.pass_ids),
        *_undone(told, row, passes),
    ]
    return Certified(certificate=row, standing=state(proven, events, at=told.until))


def _undone(told: Story, row: Certificate, passes: list[Tried]) -> Iterator[Happening]:
    stand = len(passes) == len(row.pass_ids) and all(one.passed for one in passes)
    if stand and not _rests_on_signer(row, passes):
        return
    corrected = [fact.recorded_at for fact in told.facts() if fact.reason]
    later = [moment for moment in corrected if moment >= row.recorded_at]
    why = next((one.judgement.why_not for one in passes if one.judgement and not one.passed), "")
    if stand:
        why = f"{row.by.full_name}, who signed, corrected a reading that it rests on."
    yield Happening(
        kind=Kind.PASS_UNDONE,
        at=min(min(later, default=row.happened_at), told.until),
        told=f"A correction undid a pass. {why}".strip(),
    )


def _rests_on_signer(row: Certificate, passes: list[Tried]) -> bool:
    """Whoever signed and then corrects what they signed for would vouch for themselves."""
    return any(row.by_id in one.judgement.readers for one in passes if one.judgement)


def _meals(told: Story) -> Iterator[Happening]:
    for dose in standing(told.doses):
        is_ammonia = dose.product.substance == Product.Substance.AMMONIUM_CHLORIDE
        if is_ammonia and dose.purpose in _FEEDS:
            yield Happening(kind=Kind.FED, at=dose.happened_at)
    for feeding in standing(told.feedings):
        yield Happening(kind=Kind.FED, at=feeding.happened_at)


def _incidents(told: Story) -> Iterator[Happening]:
    for row in standing(told.incidents):
        if row.kind in _BEFELL:
            hours = None if row.lasted_h is None else float(row.lasted_h)
            note = f"{row.get_kind_display()}: {row.note}." if row.note else ""
            yield Happening(kind=_BEFELL[row.kind], at=row.happened_at, amount=hours, told=note)


def _acid(told: Story) -> Iterator[Happening]:
    for reading in of("PH", told.measures):
        said = f"pH was read at {reading.text}, below the floor."
        yield Happening(kind=Kind.LOW_PH, at=reading.at, ph=reading, told=said)


def _members(told: Story, since: datetime) -> Iterator[Happening]:
    yield Happening(kind=Kind.MEMBERS, at=since, members=told.members_at(since))
    for span in told.spans:
        if span.since > since:
            yield Happening(kind=Kind.MEMBERS, at=span.since, members=span.members)


def _volumes(told: Story, since: datetime) -> Iterator[Happening]:
    turns = [span.since for span in told.spans] + [row.happened_at for row in told.volumes]
    for moment in {since, *(turn for turn in turns if turn > since)}:
        litres = told.litres_at(moment)
        said = f"The net volume is {litres:g} L, not the one that passed."
        yield Happening(kind=Kind.VOLUME, at=moment, amount=litres, told=said)


def _filters_out(told: Story, since: datetime) -> Iterator[Happening]:
    for device in told.devices:
        if device.kind == Device.Kind.BIOFILTER:
            gone_at = device.removed_at
            if gone_at is not None and device.vessel_id in told.members_at(gone_at):
                said = f"{device.name} was taken out."
                yield Happening(kind=Kind.MEDIA_REPLACED, at=gone_at, told=said)
            yield from _still(told, device, since)


def _still(told: Story, device: Device, since: datetime) -> Iterator[Happening]:
    """A biofilter turned off is flow lost until it is on again, however often the loan is renewed.

    What it stood still before ``since`` is the passes' own matter.
    """
    for off_at, on_at in _stops(told, device):
        begun_at = max(off_at, since)
        if on_at > begun_at:
            said = f"{device.name} stood still for longer than the policy allows."
            hours = (on_at - begun_at) / timedelta(hours=1)
            yield Happening(kind=Kind.POWER_LOSS, at=begun_at, amount=hours, told=said)


def _stops(told: Story, device: Device) -> Iterator[tuple[datetime, datetime]]:
    off_at: datetime | None = None
    for row in standing(told.switches):
        if row.device_id == device.pk:
            if row.is_on and off_at is not None:
                yield off_at, row.happened_at
            off_at = None if row.is_on else off_at or row.happened_at
    if off_at is not None:
        yield off_at, told.until


def _left_over(told: Story, passes: Collection[UUID]) -> Iterator[Happening]:
    """Other challenges that were not cleared; a pass that no longer stands is another matter."""
    for one in tried(told):
        if one.verdict is None or one.verdict.pk in passes or one.judgement is None:
            continue
        if one.judgement.left_over:
            # The hour it should have been cleared by; when somebody judged it is their own word.
            yield Happening(kind=Kind.LEFT_OVER, at=min(one.ends_at, told.until))


def _disturbances(told: Story, since: datetime, until: datetime) -> Iterator[str]:
    for change in standing(told.water_changes):
        if since < change.happened_at < until:
            yield f"{written(change.litres)} L of water were changed during the challenge."
    for span in told.spans:
        if since < span.since < until:
            yield "A valve was turned during the challenge: other water mixed in or was cut off."
