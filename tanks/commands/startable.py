"""What a start-up needs before it may begin: a known water, a policy, and figures that can be."""

from collections.abc import Collection
from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final
from uuid import UUID

from chemistry.domain import OutOfRange
from facility.refusals import Refusal
from facility.rules.wording import day_and_time
from tanks.commands.confirming import AskedOnce, ask
from tanks.commands.litres import net_litres, water_then
from tanks.models import Cycle, Policy, Product, Vessel
from tanks.queries.acts import animals_since
from tanks.queries.cycles import open_cycle_in
from tanks.queries.policies import policy_at
from tanks.queries.waters import Water
from tanks.rules.feeding import load_to_prove_mg_l_n, most_feed_g_per_day
from tanks.rules.terms import Terms

# Outside these nitrifiers do not grow, and nobody keeps the animals of this trade.
CYCLING_TEMPERATURES_C: Final = (Decimal(15), Decimal(35))
STOCKING_TEMPERATURES_C: Final = (Decimal(2), Decimal(35))
SALINITIES_G_KG: Final = {
    Cycle.WaterKind.FRESH.value: (Decimal(0), Decimal(2)),
    Cycle.WaterKind.BRACKISH.value: (Decimal("0.5"), Decimal(30)),
    Cycle.WaterKind.MARINE.value: (Decimal(10), Decimal(42)),
}
_CAP_SLACK: Final = 1e-9


class UnknownChoice(Refusal):
    code = "unknown-choice"
    field = "water_kind"


class UnknownSeed(Refusal):
    code = "unknown-seed"
    field = "seed"


class CycleOpen(Refusal):
    code = "cycle-open"
    field = "vessel_id"


class AnimalsThere(AskedOnce):
    code = "animals-there"
    field = "vessel_id"


class NoPolicy(Refusal):
    code = "no-policy"


class AmmoniaUnfit(Refusal):
    code = "ammonia-unfit"
    field = "ammonia_id"


class OriginMissing(Refusal):
    code = "origin-missing"
    field = "seed_origin"


class CyclingTemperatureUnfit(Refusal):
    code = "temperature-unfit"
    field = "cycling_temperature_c"


class StockingTemperatureUnfit(Refusal):
    code = "temperature-unfit"
    field = "stocking_temperature_c"


class CyclingSalinityUnfit(Refusal):
    code = "salinity-unfit"
    field = "cycling_salinity_g_kg"


class StockingSalinityUnfit(Refusal):
    code = "salinity-unfit"
    field = "stocking_salinity_g_kg"


class FeedUnfit(Refusal):
    code = "feed-unfit"
    field = "declared_feed_g_per_day"


class ProteinUnfit(Refusal):
    code = "protein-unfit"
    field = "protein_share"


@dataclass(frozen=True, slots=True, kw_only=True)
class StartCycle:
    """``ammonia_id`` names the ammonium chloride to feed with; shares run from 0 to 1.

    ``confirmed`` holds the codes of questions the person has answered with yes.
    """

    id: UUID
    vessel_id: UUID
    water_kind: str
    seed: str
    seed_origin: str
    has_substrate: bool
    ammonia_id: UUID
    declared_feed_g_per_day: Decimal
    protein_share: Decimal
    cycling_temperature_c: Decimal
    cycling_salinity_g_kg: Decimal
    stocking_temperature_c: Decimal
    stocking_salinity_g_kg: Decimal
    happened_at: datetime
    confirmed: frozenset[str] = frozenset()


def columns_of(command: StartCycle) -> dict[str, object]:
    columns = {name: _kept(name, value) for name, value in asdict(command).items()}
    del columns["confirmed"]
    columns["started_at"] = columns.pop("happened_at")
    columns["seed_origin"] = command.seed_origin.strip()
    return columns


def _kept(name: str, value: object) -> object:
    """As the column keeps it, or a second delivery would look different from the first."""
    if not isinstance(value, Decimal):
        return value
    places: int = getattr(Cycle._meta.get_field(name), "decimal_places", 0)
    return value.quantize(Decimal(1).scaleb(-places))


def policy_for(vessel: Vessel, at: datetime) -> Policy:
    policy = policy_at(vessel.site, at=at)
    if policy is None:
        raise NoPolicy(f"{vessel.site} had no start-up policy then; adopt one first.")
    return policy


def require_sense(command: StartCycle) -> None:
    if command.water_kind not in Cycle.WaterKind.values:
        raise UnknownChoice("Choose the water: fresh, brackish or marine.")
    if command.seed not in Cycle.Seed.values:
        raise UnknownSeed("Choose the seeding: culture, mature media or none.")
    if command.seed == Cycle.Seed.MATURE_MEDIA and not command.seed_origin.strip():
        raise OriginMissing("Say where the mature media came from: an illness would come along.")
    _require_temperatures(command)
    _require_salinity(command.water_kind, command.cycling_salinity_g_kg, CyclingSalinityUnfit)
    _require_salinity(command.water_kind, command.stocking_salinity_g_kg, StockingSalinityUnfit)


def _require_temperatures(command: StartCycle) -> None:
    low, high = CYCLING_TEMPERATURES_C
    if not low <= command.cycling_temperature_c <= high:
        raise CyclingTemperatureUnfit(
            f"Biofilters are started at {low} to {high} °C, not {command.cycling_temperature_c}."
        )
    low, high = STOCKING_TEMPERATURES_C
    if not low <= command.stocking_temperature_c <= high:
        raise StockingTemperatureUnfit(
            f"Waters are stocked at {low} to {high} °C, not {command.stocking_temperature_c}."
        )


def _require_salinity(water_kind: str, g_kg: Decimal, unfit: type[Refusal]) -> None:
    low, high = SALINITIES_G_KG[water_kind]
    if not low <= g_kg <= high:
        kind = Cycle.WaterKind(water_kind).label
        raise unfit(f"{kind} water has {low} to {high} g/kg of salt, not {g_kg}.")


def require_ammonia(command: StartCycle, vessel: Vessel) -> None:
    product = Product.objects.filter(pk=command.ammonia_id, site=vessel.site).first()
    if product is None:
        raise AmmoniaUnfit("There is no such product on the shelf here.")
    if product.substance != Product.Substance.AMMONIUM_CHLORIDE:
        raise AmmoniaUnfit(f"{product.name} is not ammonium chloride; choose one that is.")
    if product.retired_at is not None and product.retired_at <= command.happened_at:
        raise AmmoniaUnfit(f"{product.name} is used up or put away; choose another.")
    today = command.happened_at.astimezone(vessel.site.zone).date()
    if product.expires_on is not None and product.expires_on < today:
        raise AmmoniaUnfit(f"{product.name} expired on {product.expires_on:%d %B %Y}.")


def startable_water(vessel: Vessel, at: datetime) -> Water:
    """Return the measured water that may begin a start-up.

    Raises:
        NotYetThere, VolumeUnknown, CycleOpen
    """
    water = water_then(vessel, at=at)
    net_litres(water)
    # An open start-up begun later would overlap this one as well.
    begun = Cycle.objects.filter(vessel__in=water.member_ids, ended_at=None).first()
    if cycle := open_cycle_in(water) or begun:
        since = day_and_time(cycle.started_at, zone=vessel.site.zone)
        raise CycleOpen(f"This water has been in start-up since {since}; end that one first.")
    return water


def ask_whether_empty(water: Water, *, confirmed: Collection[str]) -> None:
    """A start-up doses ammonia: nobody may begin one around animals unawares.

    Raises:
        AnimalsThere
    """
    if since := animals_since(water):
        day = day_and_time(since, zone=water.anchor.site.zone)
        question = AnimalsThere(
            f"Animals have been in this water since {day}, and a start-up doses ammonia. "
            "Are all of them out?"
        )
        ask(question, confirmed=confirmed)


def require_provable(command: StartCycle, water: Water, terms: Terms) -> None:
    litres = water.litres or 0.0
    feed, protein = float(command.declared_feed_g_per_day), float(command.protein_share)
    if feed <= 0:
        raise FeedUnfit("Give the feed to prove in g/day, more than 0.")
    try:
        load = load_to_prove_mg_l_n(
            terms=terms, feed_g_per_day=feed, protein_share=protein, volume_l=litres
        )
    except OutOfRange as error:
        unfit = ProteinUnfit if error.field == "protein_share" else FeedUnfit
        raise unfit(str(error)) from error
    if load > terms.tan_cap_mg_l_n + _CAP_SLACK:
        most = most_feed_g_per_day(terms=terms, protein_share=protein, volume_l=litres)
        raise FeedUnfit(
            f"{feed:g} g/day would be {load:.1f} mg/L-N a day in {litres:g} L, over the cap of "
            f"{terms.tan_cap_mg_l_n:g}; at most {most:.3g} g/day can be proven here."
        )
