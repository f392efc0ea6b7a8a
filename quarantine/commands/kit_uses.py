"""Where a kit was used, and when it was cleaned in between."""

from dataclasses import asdict, dataclass, field
from datetime import datetime
from typing import Final
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import NotFound, Refusal
from facility.rules.wording import day_and_time
from quarantine.commands.kits import kit_for, require_kit_in_use
from quarantine.models import Kit, KitCleaning, KitUse
from quarantine.queries.kits import uncleaned_since
from tanks.commands.confirming import AskedOnce, ask
from tanks.commands.finding import require_in_use
from tanks.models import Vessel

_MOST_MINUTES: Final = 10_000


class KitNotCleaned(AskedOnce):
    code = "kit-not-cleaned"
    field = "kit_id"


class UnknownMeans(Refusal):
    code = "unknown-means"
    field = "means"


class DisinfectantMissing(Refusal):
    code = "disinfectant-missing"
    field = "disinfectant"


class MinutesMissing(Refusal):
    code = "minutes-missing"
    field = "minutes"


@dataclass(frozen=True, slots=True, kw_only=True)
class UseKit:
    """The kit touched the water of the vessel; feed of a batch was given there.

    ``confirmed`` holds ``kit-not-cleaned`` where it was asked and used all the same.
    """

    id: UUID
    kit_id: UUID
    vessel_id: UUID
    happened_at: datetime
    note: str = ""
    confirmed: frozenset[str] = field(default_factory=frozenset)


@dataclass(frozen=True, slots=True, kw_only=True)
class CleanKit:
    """``disinfectant`` and ``minutes`` say how it was disinfected, and are empty otherwise."""

    id: UUID
    kit_id: UUID
    means: str
    happened_at: datetime
    disinfectant: str = ""
    minutes: int | None = None


@transaction.atomic(durable=True)
def use_kit(command: UseKit, *, by: Person, at: datetime) -> KitUse:
    """Keep where a kit was used; uncleaned from another water it is asked about once.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, KitRetired, VesselRetired, KitNotCleaned
    """
    kit = kit_for(by, command.kit_id, deed="quarantine.use-kit")
    columns = asdict(command)
    confirmed = columns.pop("confirmed")
    if use := earlier(KitUse, command.id, columns):
        return use
    require_past(command.happened_at, at=at)
    require_kit_in_use(kit, at=command.happened_at)
    vessel = _vessel_at(kit, command.vessel_id)
    require_in_use(vessel, at=command.happened_at)
    before = uncleaned_since(kit, vessel, at=command.happened_at)
    if before is not None:
        ask(KitNotCleaned(_uncleaned(kit, before)), confirmed=confirmed)
    use = KitUse.objects.create(**columns, recorded_at=at, by=by)
    _record("quarantine.use-kit", use, vessel, by=by, uncleaned_since=_key(before))
    return use


@transaction.atomic(durable=True)
def clean_kit(command: CleanKit, *, by: Person, at: datetime) -> KitCleaning:
    """Keep that a kit was disinfected, dried, or only rinsed.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, KitRetired, UnknownMeans,
        DisinfectantMissing, MinutesMissing
    """
    kit = kit_for(by, command.kit_id, deed="quarantine.clean-kit")
    columns = asdict(command) | {"disinfectant": command.disinfectant.strip()}
    if cleaning := earlier(KitCleaning, command.id, columns):
        return cleaning
    require_past(command.happened_at, at=at)
    require_kit_in_use(kit, at=command.happened_at)
    _require_told(command)
    cleaning = KitCleaning.objects.create(**columns, recorded_at=at, by=by)
    _record("quarantine.clean-kit", cleaning, kit, by=by)
    return cleaning


def _vessel_at(kit: Kit, vessel_id: UUID) -> Vessel:
    vessel = Vessel.objects.filter(site=kit.site, pk=vessel_id).first()
    if vessel is None:
        raise NotFound("There is no such tank or system here.")
    return vessel


def _uncleaned(kit: Kit, before: KitUse) -> str:
    when = day_and_time(before.happened_at, zone=kit.site.zone)
    return (
        f"{kit.code} was in {before.vessel.code} on {when}, and no disinfecting or drying is on "
        "record since. Clean it first and record that, or use another; used as it is, it counts "
        "as a way from that water to this one."
    )


def _require_told(command: CleanKit) -> None:
    if command.means not in KitCleaning.Means.values:
        raise UnknownMeans("Choose how it was cleaned.")
    if command.minutes is not None and not 1 <= command.minutes <= _MOST_MINUTES:
        raise MinutesMissing(f"Write the minutes as a whole number from 1 to {_MOST_MINUTES}.")
    if command.means != KitCleaning.Means.DISINFECTED:
        return
    if not command.disinfectant.strip():
        raise DisinfectantMissing("Write which disinfectant, and how strong.")
    if command.minutes is None:
        raise MinutesMissing("Write how many minutes it was in contact.")


def _key(use: KitUse | None) -> str:
    return ledger.key_of(use) if use else ""


def _record(
    kind: str, row: KitUse | KitCleaning, about: Kit | Vessel, *, by: Person, **more: str
) -> None:
    ledger.record(
        kind,
        [row],
        about=about,
        site=row.kit.site,
        by=by,
        happened_at=row.happened_at,
        recorded_at=row.recorded_at,
        **more,
    )
