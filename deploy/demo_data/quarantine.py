"""An arrival from boxes to release: looks, deaths, a course, a net that went round, a hold."""

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from typing import Any, Final
from uuid import UUID, uuid5

from deploy.demo_data.acts import TODAY, Act, Weeks, decimal, ident
from deploy.demo_data.house import SITE_ID, litres_of
from deploy.demo_data.people import MANAGER, VETERINARIAN
from facility.rules.codes import new_code
from quarantine.commands.agents import AdoptAgents
from quarantine.commands.arrivals import ReceiveBox, ValueRead
from quarantine.commands.consignments import AddPaper, AnnounceConsignment, CloseConsignment
from quarantine.commands.containers import ShelveContainer
from quarantine.commands.course_ends import BeginClearance, ConfirmClear
from quarantine.commands.courses import OpenCourse
from quarantine.commands.deaths import LogDeath
from quarantine.commands.health_rules import AdoptHealthRules
from quarantine.commands.holds import PlaceHold
from quarantine.commands.kit_uses import CleanKit, UseKit
from quarantine.commands.kits import OpenKit
from quarantine.commands.levels import ReadLevel
from quarantine.commands.observations import LogObservation
from quarantine.commands.species import DescribeSpecies
from quarantine.commands.stay_rules import AdoptStayRules
from quarantine.commands.suppliers import AddSupplier
from quarantine.commands.treatment_doses import GiveDose

ARRIVES_ON: Final = 23
_SALT_MG_L: Final = Decimal(1000)
_BOXES: Final = (
    ("1", "harlequin", "Z-03", 60, 59, 1, 2),
    ("2", "harlequin", "Z-03", 60, 58, 2, 0),
    ("3", "panda", "Z-02", 25, 25, 0, 0),
    ("4", "panda", "Z-02", 25, 24, 1, 1),
)
_SPECIES: Final = {
    "harlequin": ("Trigonostigma heteromorpha", "Harlequin rasbora"),
    "panda": ("Corydoras panda", "Panda catfish"),
}
_KEEPERS: Final = ("kasim", "jun", "tove")
_KITS: Final = (
    ("N-01", "NET", "Fine net of the quarantine corner", "Quarantine corner"),
    ("N-02", "NET", "Wide net of the shop", "Shop room"),
    ("SI-1", "SIPHON", "Thin siphon", "Quarantine corner"),
    ("F-26-11", "FEED_BATCH", "Micro granulate, opened in November", None),
)


def quarantined(weeks: Weeks) -> Iterator[Act]:
    """Everything about one consignment, in chapters of its own."""
    yield from _prepared(weeks)
    yield from _received(weeks)
    yield from _looked(weeks)
    yield from _died(weeks)
    yield from _treated(weeks)
    yield from _netted(weeks)


def lot_id(species: str) -> UUID:
    """The lot that the species' first box made."""
    first = next(box for box in _BOXES if box[1] == species)
    return uuid5(ident(f"box:{first[0]}"), "lot")


def _prepared(weeks: Weeks) -> Iterator[Act]:
    day = ARRIVES_ON - 2
    told: list[Any] = [
        AdoptStayRules(id=ident("stay-rules"), site_id=SITE_ID),
        AdoptHealthRules(id=ident("health-rules"), site_id=SITE_ID),
        AdoptAgents(id=ident("agents"), site_id=SITE_ID),
        AddSupplier(
            id=ident("supplier"),
            site_id=SITE_ID,
            name="Thornwick Tropical Imports, Limited",
            address="2 Wharf Lane, Thornwick",
            country="GB",
        ),
        *(_described(key, *names) for key, names in _SPECIES.items()),
        *(_kit(*kit) for kit in _KITS),
        AnnounceConsignment(
            id=ident("consignment"),
            site_id=SITE_ID,
            supplier_id=ident("supplier"),
            reference="TW-2211",
            origin_country="SG",
            departed_at=weeks.at(ARRIVES_ON - 1, "16:00"),
            expected_at=weeks.at(ARRIVES_ON, "10:00"),
        ),
        AddPaper(consignment_id=ident("consignment"), kind="HEALTH", number="HC 26/4471"),
    ]
    for place, command in enumerate(told):
        at = weeks.at(day, "15:00", minutes=2 * place)
        yield Act(at=at, by=MANAGER, command=command)


def _received(weeks: Weeks) -> Iterator[Act]:
    for place, (number, species, code, invoiced, alive, dead, weak) in enumerate(_BOXES):
        at = weeks.at(ARRIVES_ON, "10:15", minutes=7 * place)
        box = ReceiveBox(
            id=ident(f"box:{number}"),
            consignment_id=ident("consignment"),
            number=number,
            species_id=ident(f"species:{species}"),
            invoiced=invoiced,
            alive=alive,
            dead_on_arrival=dead,
            weak=weak,
            vessel_id=ident(code),
            happened_at=at,
            sample=_bag_water() if number == "1" else (),
        )
        yield Act(at=at + timedelta(minutes=3), by=_KEEPERS[place % 2], command=box)
    closing = CloseConsignment(consignment_id=ident("consignment"))
    yield Act(at=weeks.at(ARRIVES_ON, "11:05"), by=MANAGER, command=closing)


def _looked(weeks: Weeks) -> Iterator[Act]:
    """Daily; the panda catfish show spots at the end, the harlequins never."""
    for day in range(ARRIVES_ON + 1, TODAY + 1):
        for code, clock in (("Z-03", "08:40"), ("Z-02", "08:50")):
            has_spots = code == "Z-02" and day >= TODAY - 1
            at = weeks.at(day, clock)
            look = LogObservation(
                id=ident(f"look:{code}:{day}"),
                vessel_id=ident(code),
                happened_at=at,
                feeding="LITTLE" if has_spots else "ATE",
                respiration="FAST" if has_spots else "CALM",
                signs=("SPOTS",) if has_spots else (),
                note="White spots on fins of three" if has_spots else "",
            )
            who = _KEEPERS[day % len(_KEEPERS)]
            yield Act(at=at + timedelta(minutes=1), by=who, command=look)


def _died(weeks: Weeks) -> Iterator[Act]:
    for species, code, day, count, cause in (
        ("harlequin", "Z-03", ARRIVES_ON + 1, 2, "TRANSPORT"),
        ("harlequin", "Z-03", ARRIVES_ON + 2, 1, "TRANSPORT"),
        ("panda", "Z-02", ARRIVES_ON + 1, 1, "TRANSPORT"),
        ("panda", "Z-02", TODAY - 1, 2, "UNKNOWN"),
    ):
        at = weeks.at(day, "08:55")
        death = LogDeath(
            id=ident(f"death:{species}:{day}"),
            vessel_id=ident(code),
            lot_id=lot_id(species),
            count=count,
            happened_at=at,
            cause=cause,
            carcass="DISPOSED" if cause == "TRANSPORT" else "COOLED",
        )
        who = _KEEPERS[day % len(_KEEPERS)]
        yield Act(at=at + timedelta(minutes=2), by=who, command=death)
    hold = PlaceHold(
        id=ident("hold:Z-02"),
        kind="DISEASE",
        why="White spots and two deaths; skin scrapes are on their way",
        happened_at=weeks.at(TODAY - 1, "10:30"),
        vessel_id=ident("Z-02"),
    )
    yield Act(at=weeks.at(TODAY - 1, "10:31"), by=VETERINARIAN, command=hold)


def _treated(weeks: Weeks) -> Iterator[Act]:
    """A little salt for the harlequins after their journey; read, and changed out again."""
    day, course = ARRIVES_ON + 3, ident("course:Z-03")
    tub = ShelveContainer(
        id=ident("tub:salt"),
        site_id=SITE_ID,
        agent_code="SODIUM_CHLORIDE",
        name="Salt tub of the quarantine corner",
        form="NACL",
        label_strength=Decimal(100),
        batch="NC-118",
        expires_on=weeks.on(TODAY + 500),
    )
    yield Act(at=weeks.at(day, "11:00"), by=MANAGER, command=tub)
    opening = OpenCourse(
        id=course,
        vessel_id=ident("Z-03"),
        agent_code="SODIUM_CHLORIDE",
        why="Rubbing after the journey",
        target=_SALT_MG_L,
        happened_at=weeks.at(day, "11:10"),
    )
    yield Act(at=weeks.at(day, "11:11"), by="kasim", command=opening)
    yield _salted(weeks, day, course)
    read_at = weeks.at(day + 1, "11:30")
    read = ReadLevel(
        id=ident("salt-read"),
        course_id=course,
        text="980",
        method="Refractometer",
        happened_at=read_at,
    )
    yield Act(at=read_at + timedelta(minutes=1), by="jun", command=read)
    begun = weeks.at(day + 5, "11:00")
    clearing = BeginClearance(id=ident("salt-out"), course_id=course, happened_at=begun)
    yield Act(at=begun, by=MANAGER, command=clearing)
    done = weeks.at(day + 8, "11:00")
    cleared = ConfirmClear(
        id=ident("salt-clear"),
        course_id=course,
        happened_at=done,
        note="Half the water changed three times",
    )
    yield Act(at=done, by=MANAGER, command=cleared)


def _salted(weeks: Weeks, day: int, course: UUID) -> Act:
    litres = decimal(litres_of("Z-03"))
    dose = GiveDose(
        id=ident("salt:Z-03"),
        course_id=course,
        container_id=ident("tub:salt"),
        intent="START",
        rise=_SALT_MG_L,
        amount=decimal(float(_SALT_MG_L * litres) / 1000, places=0),
        seen_members=frozenset({ident("Z-03")}),
        seen_litres=litres,
        happened_at=weeks.at(day, "11:20"),
    )
    return Act(at=weeks.at(day, "11:21"), by="kasim", command=dose)


def _netted(weeks: Weeks) -> Iterator[Act]:
    """The corner's net goes round cleaned; once, a week before the spots, it did not."""
    for day in range(ARRIVES_ON + 4, TODAY, 7):
        for place, code in enumerate(("Z-03", "Z-02")):
            at = weeks.at(day, "14:00", minutes=20 * place)
            yield _used(f"N-01:{code}:{day}", "N-01", code, at, uncleaned=False)
            yield Act(
                at=at + timedelta(minutes=12), by="jun", command=_cleaned("N-01", code, day, at)
            )
    lapse = weeks.at(TODAY - 9, "16:00")
    yield _used("lapse:Q1-03", "N-01", "Q1-03", lapse, uncleaned=False)
    yield _used("lapse:Z-02", "N-01", "Z-02", lapse + timedelta(minutes=15), uncleaned=True)
    after = lapse + timedelta(minutes=30)
    yield Act(at=after, by="jun", command=_cleaned("N-01", "lapse", TODAY - 9, after))
    for code in ("Z-02", "Z-03", "A-03"):
        fed = weeks.at(TODAY - 12, "09:10")
        yield _used(f"feed:{code}", "F-26-11", code, fed, uncleaned=False)


def _described(key: str, scientific: str, vernacular: str) -> DescribeSpecies:
    return DescribeSpecies(
        id=ident(f"species:{key}"),
        site_id=SITE_ID,
        scientific_name=scientific,
        vernacular_name=vernacular,
        group="FISH",
        water_kind="FRESH",
    )


def _kit(code: str, kind: str, name: str, area: str | None) -> OpenKit:
    return OpenKit(
        id=ident(f"kit:{code}"),
        site_id=SITE_ID,
        area_id=ident(f"area:{area}") if area else None,
        kind=kind,
        code=code,
        name=name,
        label=new_code(ident(f"kit-label:{code}").bytes),
    )


def _used(name: str, kit: str, code: str, at: Any, *, uncleaned: bool) -> Act:
    command = UseKit(
        id=ident(f"use:{name}"),
        kit_id=ident(f"kit:{kit}"),
        vessel_id=ident(code),
        happened_at=at,
        confirmed=frozenset({"kit-not-cleaned"} if uncleaned else ()),
    )
    return Act(at=at + timedelta(minutes=1), by="jun", command=command)


def _cleaned(kit: str, code: str, day: int, at: Any) -> CleanKit:
    return CleanKit(
        id=ident(f"clean:{kit}:{code}:{day}"),
        kit_id=ident(f"kit:{kit}"),
        means="DISINFECTED",
        disinfectant="Bleach bath, 200 mg/L as Cl2, thiosulfate rinse",
        minutes=10,
        happened_at=at + timedelta(minutes=11) if code != "lapse" else at,
    )


def _bag_water() -> tuple[ValueRead, ...]:
    return (
        ValueRead(parameter="TEMPERATURE", text="22.4", unit="degC"),
        ValueRead(parameter="PH", text="6.4", unit="pH", basis="NBS"),
        ValueRead(parameter="TAN", text="4", unit="mg/L", basis="N"),
    )
