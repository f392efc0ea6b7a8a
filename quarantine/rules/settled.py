"""Is everything finished that was under way: ramps, devices on loan, incidents? Pure."""

from collections.abc import Iterator

from facility.rules.wording import day_and_time
from quarantine.rules.known import Happened, Known, Ramp
from quarantine.rules.readings import STOCKING_SLACK_C, STOCKING_SLACK_G_KG
from tanks.rules.preparation import Appliance
from tanks.rules.requirements import MET, NOT_MET, Evidence, Requirement, state_of


def settled(known: Known) -> Iterator[Requirement]:
    """Yield what must have come to its end."""
    yield _ramps(known)
    yield _devices(known)
    yield _incidents(known)


def _ramps(known: Known) -> Requirement:
    code, title = "ramps", "Ramps to stocking values finished"
    if not known.ramps:
        sentence = "No ramp is planned; the readings above tell whether one is needed."
        return Requirement(code=code, title=title, state=MET, sentence=sentence)
    found = [(_ramp_state(known, ramp), ramp) for ramp in known.ramps]
    states = [holds for holds, _ in found]
    holds = False if False in states else (None if None in states else True)
    sentence = " ".join(_ramp_told(known, ramp, holds=state) for state, ramp in found)
    return Requirement(code=code, title=title, state=state_of(holds=holds), sentence=sentence)


def _ramp_state(known: Known, ramp: Ramp) -> bool | None:
    """A ramp is finished when its end was read since it was planned."""
    reading = known.latest.get(ramp.of)
    if reading is None or reading.at < ramp.planned_at:
        return None
    slack = STOCKING_SLACK_C if ramp.of == "TEMPERATURE" else STOCKING_SLACK_G_KG
    near = (reading.reaches(ramp.end - slack), reading.is_within(ramp.end + slack))
    return False if False in near else (None if None in near else True)


def _ramp_told(known: Known, ramp: Ramp, *, holds: bool | None) -> str:
    unit = "°C" if ramp.of == "TEMPERATURE" else "g/kg"
    reading = known.latest.get(ramp.of)
    read = f"last read {reading.text}" if reading else "not read yet"
    done = "finished" if holds else "not finished" if holds is False else "not to be told"
    day = f"{ramp.last_step_on:%d %b %Y}"
    return f"{ramp.of.capitalize()} to {ramp.end:g} {unit}, last step {day}: {done}, {read}."


def _devices(known: Known) -> Requirement:
    code, title = "devices", "Devices back on"
    off = [appliance for appliance in known.appliances if not appliance.is_on]
    if not off:
        sentence = "Every device on record runs." if known.appliances else "None is on record."
        return Requirement(code=code, title=title, state=MET, sentence=sentence)
    names = ", ".join(appliance.name for appliance in off)
    sentence = f"{names} {'is' if len(off) == 1 else 'are'} still off; switch back on or withdraw."
    shown = tuple(Evidence(_loan(known, appliance), appliance.page or None) for appliance in off)
    return Requirement(code=code, title=title, state=NOT_MET, sentence=sentence, evidence=shown)


def _loan(known: Known, appliance: Appliance) -> str:
    since = appliance.since and day_and_time(appliance.since, zone=known.zone)
    back = appliance.due_back_at and day_and_time(appliance.due_back_at, zone=known.zone)
    told = [f"{appliance.name} off since {since}" if since else f"{appliance.name} off"]
    told += [f"due back {back}"] if back else []
    return ", ".join([*told, *([appliance.owner] if appliance.owner else [])])


def _incidents(known: Known) -> Requirement:
    code, title = "incidents", "No open incident"
    still = [one for one in known.incidents if not (one.has_ended or one.is_outlived)]
    if not still:
        count = len(known.incidents)
        past = "is on record and it is" if count == 1 else "are on record and all are"
        sentence = f"{count} {past} closed." if count else "None is on record."
        return Requirement(code=code, title=title, state=MET, sentence=sentence)
    sentence = (
        f"{len(still)} still open: log how long it lasted, or pass a challenge begun after it."
    )
    shown = tuple(Evidence(_happened(known, one)) for one in still)
    return Requirement(code=code, title=title, state=NOT_MET, sentence=sentence, evidence=shown)


def _happened(known: Known, incident: Happened) -> str:
    return f"{incident.told}, {day_and_time(incident.at, zone=known.zone)}"
