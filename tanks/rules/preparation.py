"""Is the water fit to be seeded? Judged from what was read and switched, never from a tick.

Which devices are off while a culture settles is common practice, no source, as are the ranges
of the policy; the limit of chlorine is the site's own, with its source beside it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from typing import Final

from facility.rules.wording import age, day_and_time
from tanks.rules.measured import Measured
from tanks.rules.requirements import MET, NOT_MET, UNKNOWN, Evidence, Requirement, state_of
from tanks.rules.terms import Terms

OFF_WHILE_SEEDING: Final = ("UV", "OZONE", "SKIMMER", "MECHANICAL", "CARBON")
BRACKISH_SLACK_G_KG: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Appliance:
    """A device on the water; ``since`` is its latest switch, None when it never had one.

    ``page`` is where its vessel is shown.
    """

    name: str
    kind: str
    is_on: bool
    since: datetime | None = None
    due_back_at: datetime | None = None
    owner: str = ""
    page: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What is known of a water that is to be seeded.

    ``latest`` holds the latest reading of each parameter, oxygen as % of saturation.
    ``refreshed_at`` is the latest water change: source water may bring chlorine back.
    """

    at: datetime
    started_at: datetime
    zone: tzinfo
    terms: Terms
    litres: float | None
    unmeasured: tuple[str, ...]
    water_kind: str
    is_seeded: bool
    salinity_g_kg: float
    latest: dict[str, Measured]
    chlorine_limit_mg_l: float | None
    refreshed_at: datetime | None
    appliances: tuple[Appliance, ...]


def preparation(setting: Setting) -> list[Requirement]:
    """Return every condition for the first seeding and dose, each with its evidence."""
    return [
        _volume(setting),
        _chlorine(setting),
        *_appliances(setting),
        _at_least(
            setting,
            "ALKALINITY",
            "Alkalinity",
            setting.terms.alkalinity_low_meq_l,
            f"{setting.terms.alkalinity_low_meq_l:g} meq/L "
            f"({setting.terms.alkalinity_low_meq_l * 50.04:.0f} mg/L as CaCO₃)",
        ),
        _at_least(
            setting,
            "OXYGEN",
            "Dissolved oxygen",
            setting.terms.oxygen_low_percent,
            f"{setting.terms.oxygen_low_percent:g} % of saturation",
        ),
        _between(
            setting,
            "TEMPERATURE",
            "Temperature",
            (setting.terms.temperature_low_c, setting.terms.temperature_high_c),
            "°C",
        ),
        *_salinity(setting),
    ]


def _volume(setting: Setting) -> Requirement:
    code, title = "volume-known", "Net volume"
    if setting.litres is None:
        names = ", ".join(setting.unmeasured)
        sentence = f"No volume is known for {names}; measure it."
        return Requirement(code=code, title=title, state=NOT_MET, sentence=sentence)
    sentence = f"{setting.litres:g} L net, every vessel measured."
    return Requirement(code=code, title=title, state=MET, sentence=sentence)


def _chlorine(setting: Setting) -> Requirement:
    code, title = "chlorine-absent", "Total chlorine proven absent"
    limit = setting.chlorine_limit_mg_l
    reading = setting.latest.get("CHLORINE")
    if reading is None or limit is None:
        missing = "No total chlorine reading" if reading is None else "No limit of total chlorine"
        sentence = f"{missing} is on record; test total, not free, chlorine after dechlorinating."
        return Requirement(code=code, title=title, state=UNKNOWN, sentence=sentence)
    if setting.refreshed_at is not None and reading.at < setting.refreshed_at:
        sentence = "Water was changed since chlorine was read; read it again."
        return _requirement(setting, reading, code, title, holds=None, sentence=sentence)
    words = {
        True: f"at or below {limit:g} mg/L as Cl₂.",
        False: f"above {limit:g} mg/L as Cl₂: dechlorinate, mix and read again.",
        None: f"but this method cannot see as little as {limit:g} mg/L as Cl₂: use a finer one.",
    }
    holds = reading.is_within(limit)
    sentence = f"Total chlorine reads {reading.text}, {words[holds]}"
    return _requirement(setting, reading, code, title, holds=holds, sentence=sentence)


def _appliances(setting: Setting) -> Iterator[Requirement]:
    if not setting.is_seeded:
        return
    concerned = [known for known in setting.appliances if known.kind in OFF_WHILE_SEEDING]
    if not concerned:
        yield Requirement(
            code="devices-off",
            title="Devices off",
            state=MET,
            sentence="No UV, ozone, skimmer, mechanical filter or carbon is on record here.",
        )
    for appliance in concerned:
        yield _off(setting, appliance)


def _off(setting: Setting, appliance: Appliance) -> Requirement:
    title = f"{appliance.name} off"
    code = f"off-{appliance.kind.lower()}"
    if _is_on_again(setting, appliance):
        again = appliance.since and day_and_time(appliance.since, zone=setting.zone)
        sentence = f"{appliance.name} was off and is on again since {again}."
        return Requirement(code=code, title=title, state=MET, sentence=sentence)
    if appliance.is_on or appliance.since is None:
        sentence = f"{appliance.name} is on; switch it off with a time to be back on."
        return Requirement(code=code, title=title, state=NOT_MET, sentence=sentence)
    since = day_and_time(appliance.since, zone=setting.zone)
    back = appliance.due_back_at and day_and_time(appliance.due_back_at, zone=setting.zone)
    sentence = f"{appliance.name} is off since {since}, due back on {back} by {appliance.owner}."
    return Requirement(code=code, title=title, state=MET, sentence=sentence)


def _is_on_again(setting: Setting, appliance: Appliance) -> bool:
    """It was lent out for this start-up and has come back: nothing is left to do."""
    return appliance.is_on and appliance.since is not None and appliance.since > setting.started_at


def _at_least(setting: Setting, parameter: str, title: str, floor: float, told: str) -> Requirement:
    reading = setting.latest.get(parameter)
    code = parameter.lower()
    if reading is None or _is_old(setting, reading):
        return _not_read(setting, reading, code, title)
    holds = reading.reaches(floor)
    words = {True: "at least", False: "below", None: "perhaps below"}[holds]
    sentence = f"{title} reads {reading.text}, {words} {told}."
    return _requirement(setting, reading, code, title, holds=holds, sentence=sentence)


def _between(
    setting: Setting, parameter: str, title: str, edges: tuple[float, float], unit: str
) -> Requirement:
    reading = setting.latest.get(parameter)
    code = parameter.lower()
    if reading is None or _is_old(setting, reading):
        return _not_read(setting, reading, code, title)
    low, high = reading.reaches(edges[0]), reading.is_within(edges[1])
    holds = False if False in (low, high) else (None if None in (low, high) else True)
    words = {True: "within", False: "outside", None: "perhaps outside"}[holds]
    sentence = f"{title} reads {reading.text}, {words} {edges[0]:g} to {edges[1]:g} {unit}."
    return _requirement(setting, reading, code, title, holds=holds, sentence=sentence)


def _salinity(setting: Setting) -> Iterator[Requirement]:
    terms = setting.terms
    wanted = setting.salinity_g_kg
    edges = {
        "MARINE": (terms.marine_salinity_low_g_kg, terms.marine_salinity_high_g_kg),
        "BRACKISH": (max(wanted - BRACKISH_SLACK_G_KG, 0.0), wanted + BRACKISH_SLACK_G_KG),
    }
    if setting.water_kind in edges:
        yield _between(setting, "SALINITY", "Salinity", edges[setting.water_kind], "g/kg")


def _is_old(setting: Setting, reading: Measured) -> bool:
    return setting.at - reading.at > timedelta(hours=setting.terms.reading_fresh_hours)


def _not_read(setting: Setting, reading: Measured | None, code: str, title: str) -> Requirement:
    if reading is None:
        sentence = f"{title} has not been read here; read it."
        return Requirement(code=code, title=title, state=UNKNOWN, sentence=sentence)
    sentence = f"{title} was read {age(reading.at, now=setting.at)}; read it again."
    return _requirement(setting, reading, code, title, holds=None, sentence=sentence)


def _requirement(
    setting: Setting,
    reading: Measured,
    code: str,
    title: str,
    *,
    holds: bool | None,
    sentence: str,
) -> Requirement:
    when = day_and_time(reading.at, zone=setting.zone)
    shown = Evidence(f"{reading.text}, {reading.method_name}, {when}")
    return Requirement(
        code=code, title=title, state=state_of(holds=holds), sentence=sentence, evidence=(shown,)
    )
