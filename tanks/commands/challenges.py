"""Challenge a biofilter with its declared load and judge the outcome."""

from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import NotFound, Refusal
from tanks.commands.certificates import SignCertificate as SignCertificate
from tanks.commands.certificates import sign_certificate as sign_certificate
from tanks.commands.cycles import cycle_for, require_open
from tanks.models import Challenge, Cycle, Dose, Reading, Verdict
from tanks.queries.cycles import Course, course, is_ammonia
from tanks.queries.measures import standing_measure
from tanks.queries.proofs import trial_of
from tanks.queries.stories import is_standing
from tanks.rules.feeding import load_to_prove_mg_l_n
from tanks.rules.proof import Judgement, judge
from tanks.rules.requirements import as_plain

_AGAIN: Final = "Judged again, from the readings named here."
_HAS_PASSED: Final = (
    "This challenge has passed already. If a value in it is wrong, correct or withdraw that "
    "reading or dose: a pass that rests on it falls, and the challenge may be judged again."
)
_THOUSANDTH: Final = Decimal("0.001")


class DoseUnfit(Refusal):
    code = "dose-unfit"
    field = "dose_id"


class AlreadyJudged(Refusal):
    code = "already-judged"
    field = "challenge_id"


class StartUnfit(Refusal):
    code = "reading-unfit"
    field = "start_id"


class TanUnfit(Refusal):
    code = "reading-unfit"
    field = "tan_id"


class NitriteUnfit(Refusal):
    code = "reading-unfit"
    field = "nitrite_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class BeginChallenge:
    """The logged dose ``dose_id`` is the challenge."""

    id: UUID
    cycle_id: UUID
    dose_id: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgeChallenge:
    """``start_id`` is TAN after mixing; ``tan_id`` and ``nitrite_id`` are read at the end."""

    id: UUID
    challenge_id: UUID
    start_id: UUID
    tan_id: UUID
    nitrite_id: UUID
    happened_at: datetime


@transaction.atomic(durable=True)
def begin_challenge(command: BeginChallenge, *, by: Person, at: datetime) -> Challenge:
    """Make a logged dose the challenge of its water.

    Raises:
        NotFound, NotAllowed, IdTaken, CycleEnded, DoseUnfit
    """
    cycle = cycle_for(by, command.cycle_id, deed="tanks.begin-challenge")
    if challenge := earlier(Challenge, command.id, asdict(command)):
        return challenge
    require_open(cycle)
    told = course(cycle, at=at)
    dose = _challenge_dose(command, told)
    challenge = Challenge.objects.create(
        **asdict(command),
        happened_at=dose.happened_at,
        recorded_at=at,
        by=by,
        target_mg_l_n=_target(told, dose),
    )
    _record("tanks.begin-challenge", challenge, cycle, by=by, when=dose.happened_at, at=at)
    return challenge


@transaction.atomic(durable=True)
def judge_challenge(command: JudgeChallenge, *, by: Person, at: datetime) -> Verdict:
    """Record which readings judge a challenge, and what the rule makes of them now.

    A verdict without a pass, or whose pass has fallen since, is taken the place of.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, CycleEnded, AlreadyJudged, StartUnfit,
        TanUnfit, NitriteUnfit
    """
    challenge = Challenge.objects.select_related("dose").filter(pk=command.challenge_id).first()
    if challenge is None:
        raise NotFound("There is no such challenge here.")
    cycle = cycle_for(by, challenge.cycle_id, deed="tanks.judge-challenge")
    if verdict := earlier(Verdict, command.id, asdict(command)):
        return verdict
    require_open(cycle)
    require_past(command.happened_at, at=at)
    judgement, earlier_verdict = _judged(command, challenge, course(cycle, at=at))
    verdict = Verdict.objects.create(
        **asdict(command),
        corrects=earlier_verdict,
        reason=_AGAIN if earlier_verdict else "",
        recorded_at=at,
        by=by,
        passed=judgement.passed,
        findings=as_plain(judgement.findings),
    )
    when = command.happened_at
    _record("tanks.judge-challenge", verdict, cycle, by=by, when=when, at=at)
    return verdict


def _record(
    kind: str,
    row: Challenge | Verdict,
    cycle: Cycle,
    *,
    by: Person,
    when: datetime,
    at: datetime,
) -> None:
    site = cycle.vessel.site
    ledger.record(kind, [row], about=cycle, site=site, by=by, happened_at=when, recorded_at=at)


def _challenge_dose(command: BeginChallenge, told: Course) -> Dose:
    dose = next((row for row in told.story.doses if row.pk == command.dose_id), None)
    if dose is None or not is_standing(dose):
        raise DoseUnfit("This start-up's water got no such dose; log the challenge dose first.")
    if dose.purpose != Dose.Purpose.CHALLENGE or not is_ammonia(dose):
        raise DoseUnfit("Log the dose as a challenge of ammonium chloride, then begin it.")
    if Challenge.objects.filter(dose=dose).exists():
        raise DoseUnfit("This dose has begun a challenge before.")
    return dose


def _target(told: Course, dose: Dose) -> Decimal:
    """The load is counted in the water the dose went into."""
    load = load_to_prove_mg_l_n(
        terms=told.terms,
        feed_g_per_day=float(told.cycle.declared_feed_g_per_day),
        protein_share=float(told.cycle.protein_share),
        volume_l=float(dose.water_litres),
    )
    return Decimal(repr(load)).quantize(_THOUSANDTH)


def _judged(
    command: JudgeChallenge, challenge: Challenge, told: Course
) -> tuple[Judgement, Verdict | None]:
    """Return the judgement, and the verdict without a pass that it takes the place of."""
    one = next((tried for tried in told.challenges if tried.challenge.pk == challenge.pk), None)
    if one is None:
        raise NotFound("This challenge was withdrawn.")
    if one.passed:
        raise AlreadyJudged(_HAS_PASSED)
    _require_reading(told, command.start_id, Reading.Parameter.TAN, StartUnfit)
    _require_reading(told, command.tan_id, Reading.Parameter.TAN, TanUnfit)
    _require_reading(told, command.nitrite_id, Reading.Parameter.NITRITE, NitriteUnfit)
    trial = trial_of(
        told.story,
        one.challenge,
        start_id=command.start_id,
        tan_id=command.tan_id,
        nitrite_id=command.nitrite_id,
    )
    return judge(trial), one.verdict


def _require_reading(
    told: Course, reading_id: UUID, parameter: Reading.Parameter, unfit: type[Refusal]
) -> None:
    reading = standing_measure(reading_id, told.story.readings)
    if reading is None or reading.parameter != parameter:
        raise unfit(f"Choose a reading of {parameter.label} from this water that stands.")
