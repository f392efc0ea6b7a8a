"""Give a site its start-up policy, limits and alarm rules; set the policy anew."""

from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID, uuid5

from django.db import transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person, Site
from facility.refusals import Refusal
from tanks.commands.alarm_adoption import founding_rules
from tanks.commands.finding import site_for
from tanks.models import Limit, Policy
from tanks.rules import defaults
from tanks.rules.policies import FIGURES, Unsound, unsound


class PolicyInForce(Refusal):
    code = "policy-in-force"
    field = "site_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptDefaults:
    """``id`` becomes the policy's; the limits' ids follow from it."""

    id: UUID
    site_id: UUID


class PolicyUnsound(Refusal):
    """A figure is off its scale or contradicts another; ``field`` says which."""

    code = "policy-unsound"

    def __init__(self, fault: Unsound) -> None:
        super().__init__(fault.sentence)
        self.field = fault.name


class SourceMissing(Refusal):
    code = "source-missing"
    field = "source"


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPolicy:
    """The whole policy anew, with where its figures come from; it holds from now on.

    Start-ups already begun keep the policy they began under.
    """

    id: UUID
    site_id: UUID
    temperature_low_c: Decimal
    temperature_high_c: Decimal
    marine_salinity_low_g_kg: Decimal
    marine_salinity_high_g_kg: Decimal
    tan_cap_mg_l_n: Decimal
    dose_mg_l_n: Decimal
    redose_tan_mg_l_n: Decimal
    redose_nitrite_mg_l_n: Decimal
    alkalinity_low_meq_l: Decimal
    oxygen_low_percent: Decimal
    challenge_mg_l_n: Decimal
    challenge_hours: Decimal
    challenge_limit_mg_l_n: Decimal
    passes_needed: int
    unfed_days: Decimal
    power_loss_hours: Decimal
    ph_floor: Decimal
    reading_fresh_hours: Decimal
    tested_share_percent: Decimal
    source: str

    def figures(self) -> dict[str, Decimal | int]:
        return {figure.name: getattr(self, figure.name) for figure in FIGURES}


@transaction.atomic(durable=True)
def set_policy(command: SetPolicy, *, by: Person, at: datetime) -> Policy:
    """End the policy in force and put this one in its place.

    Raises:
        NotFound, NotAllowed, SourceMissing, PolicyUnsound, IdTaken
    """
    site = site_for(by, command.site_id, deed="tanks.set-policy")
    figures = command.figures()
    if policy := earlier(Policy, command.id, figures | {"site_id": site.pk}):
        return policy
    if not command.source.strip():
        raise SourceMissing("Say where these figures come from, or that it is common practice.")
    for fault in unsound(figures):
        raise PolicyUnsound(fault)
    ended = _ended(site, at)
    policy = Policy.objects.create(
        id=command.id,
        site=site,
        period=DateTimeTZRange(at, None),
        source=command.source.strip(),
        jurisdiction=site.jurisdiction,
        **figures,
    )
    ledger.record(
        "tanks.set-policy",
        [policy, *ended],
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return policy


def _ended(site: Site, at: datetime) -> list[Policy]:
    """End what is in force now."""
    rows = list(Policy.objects.filter(site=site, period__contains=at))
    for row in rows:
        row.period = DateTimeTZRange(row.period.lower, at)
        row.save(update_fields=["period"])
    return rows


@transaction.atomic(durable=True)
def adopt_defaults(command: AdoptDefaults, *, by: Person, at: datetime) -> Policy:
    """Copy the shipped policy, limits and alarm rules into rows of the site, without a beginning.

    Raises:
        NotFound, NotAllowed, PolicyInForce
    """
    site = site_for(by, command.site_id, deed="tanks.adopt-defaults")
    if policy := Policy.objects.filter(pk=command.id, site=site).first():
        return policy
    if Policy.objects.filter(site=site).exists():
        raise PolicyInForce(f"{site.name} already has a start-up policy.")
    policy = _policy(command, site)
    rules = [*_limits(command, site), *founding_rules(command.id, site)]
    ledger.record(
        "tanks.adopt-defaults",
        [policy, *rules],
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return policy


def _policy(command: AdoptDefaults, site: Site) -> Policy:
    # Refreshed, so that the ledger sees the columns as they are kept.
    policy = Policy.objects.create(
        id=command.id,
        site=site,
        period=DateTimeTZRange(),
        **defaults.POLICY,
        **asdict(defaults.POLICY_ORIGIN),
    )
    policy.refresh_from_db()
    return policy


def _limits(command: AdoptDefaults, site: Site) -> list[Limit]:
    rows = [_limit(values, command.id, site) for values in defaults.limits()]
    return Limit.objects.bulk_create(rows)


def _limit(values: defaults.LimitValues, adoption: UUID, site: Site) -> Limit:
    columns = asdict(values)
    origin = columns.pop("origin")
    name = f"{values.parameter}:{values.water_kind}:{values.stage}:{values.level}"
    return Limit(id=uuid5(adoption, name), site=site, period=DateTimeTZRange(), **columns, **origin)
