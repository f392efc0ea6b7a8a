"""Builders of a start-up on its way: a lone tank of 400 L, its tests, doses and passes.

Ana reads and doses, Mo judges, Vera signs. Everything goes through commands.
"""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal
from uuid import UUID, uuid4

from facility.models import Person
from tanks.commands.challenges import (
    BeginChallenge,
    JudgeChallenge,
    SignCertificate,
    begin_challenge,
    judge_challenge,
    sign_certificate,
)
from tanks.commands.cycles import StartCycle, start_cycle
from tanks.commands.incidents import LogIncident, log_incident
from tanks.commands.readings import CorrectReading, correct_reading
from tanks.models import (
    Certificate,
    Challenge,
    Cycle,
    Dose,
    Method,
    Product,
    Reading,
    Verdict,
    Vessel,
)
from tests.cast import NOON, House
from tests.tanks.estate import measured, vessel_of
from tests.tanks.samples import kit, logged
from tests.tanks.shelf import dosed, shelved

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


@dataclass
class Proving:
    """One start-up and what it is tested with. Litres 400, 2 mg/L-N, 45 % protein."""

    house: House
    vessel: Vessel
    salt: Product
    cycle: Cycle
    methods: dict[str, Method] = field(default_factory=dict)

    def method(self, parameter: str) -> Method:
        if parameter not in self.methods:
            self.methods[parameter] = kit(
                self.house, parameter, name=f"Photometer {parameter}", kind="PHOTOMETER"
            )
        return self.methods[parameter]

    def read(self, parameter: str, text: str, *, at: datetime) -> Reading:
        return logged(self.house, self.vessel, self.method(parameter), text, at=at)

    def dose(self, *, at: datetime, purpose: str = "CHALLENGE") -> Dose:
        return dosed(
            self.salt,
            self.vessel,
            by=self.house.ana,
            purpose=purpose,
            happened_at=at,
            confirmed=frozenset({"dosed-already", "amount-far-from-computed"}),
        )

    def challenge(self, *, at: datetime) -> Challenge:
        dose = self.dose(at=at)
        command = BeginChallenge(id=uuid4(), cycle_id=self.cycle.pk, dose_id=dose.pk)
        return begin_challenge(command, by=self.house.ana, at=at)

    def judgeable(
        self, *, at: datetime, start: str = "2.0", tan: str = "<0.1", nitrite: str = "<0.1"
    ) -> JudgeChallenge:
        """A challenge dosed at ``at`` with its readings, 45 minutes and 24 hours later."""
        challenge = self.challenge(at=at)
        begun = self.read("TAN", start, at=at + timedelta(minutes=45))
        ended = at + 24 * HOUR
        self.read("PH", "7.9", at=ended)
        return JudgeChallenge(
            id=uuid4(),
            challenge_id=challenge.pk,
            start_id=begun.pk,
            tan_id=self.read("TAN", tan, at=ended).pk,
            nitrite_id=self.read("NITRITE", nitrite, at=ended).pk,
            happened_at=ended,
        )

    def verdict(self, *, at: datetime, **read: str) -> Verdict:
        command = self.judgeable(at=at, **read)
        return judge_challenge(command, by=self.house.mo, at=command.happened_at)

    def sign(self, *verdicts: Verdict, at: datetime, by: Person | None = None) -> Certificate:
        return sign_certificate(self.signable(*verdicts), by=by or self.house.vera, at=at)

    def signable(self, *verdicts: Verdict) -> SignCertificate:
        return SignCertificate(
            id=uuid4(),
            cycle_id=self.cycle.pk,
            pass_ids=tuple(verdict.pk for verdict in verdicts),
            meaning="I checked both passes against the kit's sheet.",
        )

    def two_passes(self, *, at: datetime = NOON) -> list[Verdict]:
        return [self.verdict(at=at), self.verdict(at=at + 24 * HOUR + timedelta(minutes=5))]

    def befell(self, kind: str, *, at: datetime, lasted_h: str | None = None) -> None:
        command = LogIncident(
            id=uuid4(),
            vessel_id=self.vessel.pk,
            kind=kind,
            lasted_h=None if lasted_h is None else Decimal(lasted_h),
            note="noticed on the evening round",
            happened_at=at,
        )
        log_incident(command, by=self.house.ana, at=at)

    def correct(self, reading_id: UUID, text: str, *, by: Person, at: datetime) -> Reading:
        """A misread TAN or nitrite, with the same method."""
        first = Reading.objects.get(pk=reading_id)
        command = CorrectReading(
            id=uuid4(),
            reading_id=reading_id,
            text=text,
            unit=first.unit,
            basis=first.basis,
            method_id=first.method_id,
            reason="misread the second digit",
        )
        return correct_reading(command, by=by, at=at)

    def certified(self, *, at: datetime) -> Certificate:
        """Two passes from ``at`` on and a signature, 49 hours later."""
        return self.sign(*self.two_passes(at=at), at=at + 49 * HOUR)


def start_of(vessel: Vessel, ammonia: Product, **changes: object) -> StartCycle:
    """A warm fresh water, seeded with culture, to prove 10 g a day."""
    told: dict[str, object] = {
        "id": uuid4(),
        "vessel_id": vessel.pk,
        "water_kind": "FRESH",
        "seed": "CULTURE",
        "seed_origin": "",
        "has_substrate": True,
        "ammonia_id": ammonia.pk,
        "declared_feed_g_per_day": Decimal(10),
        "protein_share": Decimal("0.45"),
        "cycling_temperature_c": Decimal(28),
        "cycling_salinity_g_kg": Decimal(0),
        "stocking_temperature_c": Decimal(25),
        "stocking_salinity_g_kg": Decimal(0),
        "happened_at": NOON,
    }
    return StartCycle(**(told | changes))  # type: ignore[arg-type]  # each test changes its own


def proving(house: House) -> Proving:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    salt = shelved(house)
    cycle = start_cycle(start_of(vessel, salt), by=house.ana, at=NOON)
    return Proving(house=house, vessel=vessel, salt=salt, cycle=cycle)
