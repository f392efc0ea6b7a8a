"""Give a site its start-up policy and its limits."""

from dataclasses import asdict, dataclass
from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility.commands import ledger
from facility.models import Person, Site
from facility.refusals import Refusal
from tanks.commands.finding import site_for
from tanks.models import Limit, Policy
from tanks.rules import defaults


class PolicyInForce(Refusal):
    code = "policy-in-force"
    field = "site_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptDefaults:
    """``id`` becomes the policy's; the limits' ids follow from it."""

    id: UUID
    site_id: UUID


@transaction.atomic(durable=True)
def adopt_defaults(command: AdoptDefaults, *, by: Person, at: datetime) -> Policy:
    """Copy the shipped policy and limits into rows of the site, without a beginning or an end.

    Raises:
        NotFound, NotAllowed, PolicyInForce
    """
    site = site_for(by, command.site_id, deed="tanks.adopt-defaults")
    if policy := Policy.objects.filter(pk=command.id, site=site).first():
        return policy
    if Policy.objects.filter(site=site).exists():
        raise PolicyInForce(f"{site.name} already has a start-up policy.")
    policy = _policy(command, site)
    limits = _limits(command, site)
    ledger.record(
        "tanks.adopt-defaults",
        [policy, *limits],
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
