"""The rooms, the tanks and systems in them, how they were measured, and their valves."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Final

from deploy.demo_data.acts import Act, Weeks, decimal, ident
from deploy.demo_data.people import MANAGER, MEMBERS, SITE_NAME, STAFF, Member
from facility.commands.people import InvitePerson
from facility.commands.places import OpenArea, OpenSite
from facility.rules.codes import new_code
from tanks.commands.connections import OpenValve
from tanks.commands.policies import AdoptDefaults
from tanks.commands.vessels import OpenVessel
from tanks.commands.volumes import MeasureVolume
from tanks.rules.volumes import working

SITE_ID: Final = ident("site")
AREAS: Final = {
    "Breeding room": 1,
    "Shop room": 2,
    "Exhibit backroom": 3,
    "Quarantine corner": 6,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tub:
    """A tank or a system's core; ``measures`` are what was read off a meter or a tape."""

    code: str
    area: str
    name: str = ""
    measures: dict[str, str] = field(default_factory=dict)
    system: str | None = None
    is_system: bool = False
    day: int = 0

    @property
    def means(self) -> str:
        return "GEOMETRY" if "shape" in self.measures else "METERED"

    @property
    def litres(self) -> float:
        return float(decimal(working(self.means, self.measures).litres))


def box(length: float, width: float, height: float, **more: str) -> dict[str, str]:
    """Outside measures in cm of a glass box filled to 3 cm below its rim."""
    glass = "1" if length > 90 else "0.6"  # noqa: PLR2004 - longer panes are thicker
    sides = {"length_cm": f"{length:g}", "width_cm": f"{width:g}", "height_cm": f"{height:g}"}
    walls = {"glass_cm": glass, "base_cm": glass, "freeboard_cm": "3"}
    return {"shape": "box", **sides, **walls, **more}


def cylinder(diameter: float, depth: float, **more: str) -> dict[str, str]:
    return {"shape": "cylinder", "diameter_cm": f"{diameter:g}", "depth_cm": f"{depth:g}", **more}


def _metered(before: str, after: str, unit: str = "L") -> dict[str, str]:
    return {"meter_before": before, "meter_after": after, "meter_unit": unit}


def _rack(code: str, count: int, area: str, measures: dict[str, str], day: int = 0) -> list[Tub]:
    return [
        Tub(code=f"{code}-{place:02d}", area=area, measures=measures, system=code, day=day)
        for place in range(1, count + 1)
    ]


def _system(code: str, name: str, area: str, measures: dict[str, str], day: int = 0) -> Tub:
    return Tub(code=code, name=name, area=area, measures=measures, is_system=True, day=day)


_BREEDING, _SHOP, _EXHIBIT, _CORNER = AREAS
_BED: Final = {"bed_depth_cm": "4", "bed_porosity": "0.4"}
_ROCK: Final = {"rock_kg": "38", "rock_density_kg_l": "2.4"}

TUBS: Final[tuple[Tub, ...]] = (
    _system("S1", "Community row", _SHOP, _metered("81250", "81672")),
    *_rack("S1", 12, _SHOP, box(60, 40, 40)),
    _system("S2", "Sea wall", _SHOP, _metered("12.481", "12.936", "m3")),
    *_rack("S2", 10, _SHOP, box(70, 50, 45, rock_kg="6", rock_density_kg_l="2.4")),
    _system("B1", "Fry rack", _BREEDING, {"litres": "206"}),
    *_rack("B1", 10, _BREEDING, box(45, 30, 30)),
    _system("B2", "Upper rack", _BREEDING, {"litres": "228"}, 28),
    *_rack("B2", 8, _BREEDING, box(50, 35, 32), 28),
    _system("E1", "Reef reserve", _EXHIBIT, _metered("4410.0", "4568.5", "gal_us"), 29),
    *_rack("E1", 8, _EXHIBIT, cylinder(80, 68), 29),
    _system("Q1", "Arrivals rack", _CORNER, _metered("82010", "82268")),
    *_rack("Q1", 8, _CORNER, box(50, 40, 40)),
    Tub(
        code="A-01",
        area=_SHOP,
        name="Window tank",
        measures={
            "shape": "bow_front",
            "length_cm": "120",
            "end_width_cm": "45",
            "centre_width_cm": "58",
            "depth_cm": "52",
            **_BED,
        },
    ),
    Tub(
        code="A-02",
        area=_SHOP,
        name="Counter tank",
        measures={"shape": "hexagon", "side_cm": "32", "depth_cm": "58", **_BED},
    ),
    Tub(code="A-03", area=_SHOP, name="Planted tank", measures=box(100, 45, 45, **_BED)),
    Tub(code="A-04", area=_SHOP, name="Shrimp tank", measures=box(60, 35, 35, **_BED)),
    *(
        Tub(code=f"P-{place:02d}", area=_BREEDING, name=f"Pair {place}", measures=box(60, 30, 33))
        for place in range(1, 7)
    ),
    Tub(code="X-01", area=_EXHIBIT, name="River bank reserve", measures=cylinder(180, 92), day=46),
    Tub(code="X-02", area=_EXHIBIT, name="Estuary", measures=cylinder(120, 75)),
    Tub(code="X-03", area=_EXHIBIT, name="Rock pool", measures=box(150, 80, 50, **_ROCK)),
    Tub(
        code="X-04",
        area=_EXHIBIT,
        name="Kelp column",
        measures={"shape": "hexagon", "side_cm": "45", "depth_cm": "110"},
    ),
    Tub(code="Z-01", area=_CORNER, name="Marine arrivals", measures=box(120, 50, 50), day=35),
    *(
        Tub(code=f"Z-{place:02d}", area=_CORNER, name=f"Isolation {place - 1}", measures=measures)
        for place, measures in ((2, box(60, 40, 40)), (3, box(60, 40, 40)), (4, box(80, 40, 40)))
    ),
    Tub(code="A-09", area=_SHOP, name="Old counter tank", measures=box(60, 30, 30)),
)


def litres_of(*codes: str) -> float:
    """Net litres of these vessels together, as the tape and the meter gave them."""
    return sum(tub.litres for tub in TUBS if tub.code in codes or tub.system in codes)


def opened(weeks: Weeks) -> Iterator[Act]:
    """Open the site, its rooms, its people's accounts."""
    yield _by_manager(weeks, 0, "07:00", _site())
    yield _by_manager(weeks, 0, "07:02", AdoptDefaults(id=ident("policy"), site_id=SITE_ID))
    for name, rank in AREAS.items():
        area = OpenArea(id=ident(f"area:{name}"), site_id=SITE_ID, name=name, hygiene_rank=rank)
        yield _by_manager(weeks, 0, "07:05", area)
    for member in MEMBERS:
        if member.username != MANAGER:
            yield _by_manager(weeks, 0, "07:10", _invited(member))


def furnished(weeks: Weeks) -> Iterator[Act]:
    """Put up every tank, measure it, open its valve."""
    for place, tub in enumerate(TUBS):
        who = STAFF[place % len(STAFF)]
        yield _by_manager(weeks, tub.day, "07:20", _put_up(tub))
        measured = MeasureVolume(
            id=ident(f"volume:{tub.code}"),
            vessel_id=ident(tub.code),
            happened_at=weeks.at(tub.day, "07:30"),
            means=tub.means,
            basis=tub.measures,
        )
        yield Act(at=weeks.at(tub.day, "07:40"), by=who, command=measured)
        if tub.system:
            yield Act(at=weeks.at(tub.day, "07:50"), by=who, command=first_valve(weeks, tub))


def first_valve(weeks: Weeks, tub: Tub) -> OpenValve:
    return OpenValve(
        id=ident(f"valve:{tub.code}"),
        vessel_id=ident(tub.code),
        system_id=ident(str(tub.system)),
        valve=f"inlet {tub.code}",
        happened_at=weeks.at(tub.day, "07:45"),
    )


def _by_manager(weeks: Weeks, day: int, clock: str, command: Any) -> Act:
    return Act(at=weeks.at(day, clock), by=MANAGER, command=command)


def _site() -> OpenSite:
    return OpenSite(id=SITE_ID, name=SITE_NAME, time_zone="Europe/London", jurisdiction="GB-ENG")


def _invited(member: Member) -> InvitePerson:
    return InvitePerson(
        id=ident(f"person:{member.username}"),
        site_id=SITE_ID,
        username=member.username,
        full_name=member.full_name,
        initials=member.initials,
        role=member.role,
        password=member.password,
    )


def _put_up(tub: Tub) -> OpenVessel:
    return OpenVessel(
        id=ident(tub.code),
        site_id=SITE_ID,
        area_id=ident(f"area:{tub.area}"),
        kind="SYSTEM" if tub.is_system else "TANK",
        code=tub.code,
        name=tub.name,
        label=new_code(ident(f"label:{tub.code}").bytes),
    )
