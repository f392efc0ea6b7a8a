"""What was out of the ordinary: valves, devices on loan, slips and their corrections, mishaps."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any, Final

from deploy.demo_data import entries
from deploy.demo_data.acts import TODAY, Act, Weeks, decimal, ident
from deploy.demo_data.entries import Deed
from deploy.demo_data.house import box
from deploy.demo_data.methods import METHODS
from deploy.demo_data.people import MANAGER
from deploy.demo_data.regimes import REGIMES
from deploy.demo_data.routine import TROUBLED_SINCE
from facility.rules.codes import new_code
from tanks.commands.connections import CloseValve, OpenValve
from tanks.commands.incidents import LogIncident
from tanks.commands.readings import CorrectReading
from tanks.commands.valve_loans import LendValve
from tanks.commands.vessels import Relabel, RenameVessel, RetireVessel
from tanks.commands.volumes import MeasureVolume
from tanks.commands.withdrawals import WithdrawEntry

ISOLATED: Final = "S1-07"


def befell(weeks: Weeks) -> Iterator[Act]:
    yield from _valves(weeks)
    yield from _devices(weeks)
    yield from _slips(weeks)
    yield from _late(weeks)
    yield from _mishaps(weeks)
    yield from _buffered(weeks)
    yield from _moves(weeks)


def _valves(weeks: Weeks) -> Iterator[Act]:
    """Two tanks were shut off and came back; one was lent for two days and is shut off still."""
    for code, shut, back in (("S1-03", 20, 24), ("B1-05", 33, 35)):
        yield _told(weeks.at(shut, "16:05"), "tove", _closed(code, weeks.at(shut, "16:00")))
        opened_at = weeks.at(back, "09:00")
        again = OpenValve(
            id=ident(f"valve:{code}:again"),
            vessel_id=ident(code),
            system_id=ident(code[:2]),
            valve=f"inlet {code}",
            happened_at=opened_at,
        )
        yield _told(opened_at + timedelta(minutes=2), "tove", again)
    shut_at = weeks.at(TODAY - 3, "16:10")
    lent = LendValve(
        id=ident(f"loan:{ISOLATED}"),
        connection_id=ident(f"valve:{ISOLATED}"),
        why="Salt bath against white spot, then open again",
        due_back_at=weeks.at(TODAY - 2, "18:00"),
        owner_id=ident("person:kasim"),
        happened_at=shut_at,
    )
    yield _told(shut_at + timedelta(minutes=1), "kasim", lent)


def _closed(code: str, happened_at: datetime) -> CloseValve:
    return CloseValve(connection_id=ident(f"valve:{code}"), happened_at=happened_at)


def _devices(weeks: Weeks) -> Iterator[Act]:
    """A lamp changed in time, and an ultraviolet unit that nobody turned on again."""
    out_at, in_at = weeks.at(40, "10:00"), weeks.at(41, "09:20")
    yield entries.turned_off(
        Deed(name="lamp out", code="S2", at=out_at, by="jun"),
        kind="UV",
        why="lamp change",
        due_back_at=weeks.at(41, "12:00"),
    )
    yield entries.turned_on(Deed(name="lamp in", code="S2", at=in_at, by="jun"), kind="UV")
    yield entries.turned_off(
        Deed(name="sleeve", code="S1", at=weeks.at(TODAY - 4, "11:00"), by="kasim"),
        kind="UV",
        why="quartz sleeve soaks in acid",
        due_back_at=weeks.at(TODAY - 2, "17:00"),
    )


def _slips(weeks: Weeks) -> Iterator[Act]:
    """Mistyped, then corrected with a reason; and an entry on the wrong tank, withdrawn."""
    for name, code, day, key, wrong, right, reason in (
        ("S2 evening", "S2", 23, "nitrite kit", "0.5", "<0.05", "Typed 0.5 for below 0.05."),
        ("A-02 noon", "A-02", 31, "temperature glass", "87", "77", "Misread the first digit."),
        ("B1 evening", "B1", 37, "alkalinity drops", "1.4", "4.1", "Digits changed over."),
    ):
        deed = Deed(name=name, code=code, at=weeks.at(day, "18:00"), by="kasim")
        yield entries.sample(deed, texts={key: wrong})
        correction = CorrectReading(
            id=ident(f"correction:{name}"),
            reading_id=entries.reading_id(name, key),
            text=right,
            unit=METHODS[key].unit,
            basis=METHODS[key].basis,
            method_id=ident(f"method:{key}"),
            reason=reason,
        )
        yield _told(weeks.at(day + 1, "08:55"), "kasim", correction)
    fed = Deed(name="wrong tank", code="P-03", at=weeks.at(29, "17:30"), by="jun")
    yield entries.feeding(fed, grams=2.0, protein_share=0.44)
    withdrawn = WithdrawEntry(
        id=ident("withdrawn:wrong tank"),
        model="tanks.feeding",
        fact_id=ident("feeding:wrong tank"),
        reason="That went into B1 and is logged there.",
    )
    yield fed.told(withdrawn, after=timedelta(minutes=40))


def _late(weeks: Weeks) -> Iterator[Act]:
    """Read on a Sunday, written up the day after."""
    yield entries.sample(
        Deed(name="B1 late", code="B1", at=weeks.at(44, "12:15"), by="tove"),
        texts={"tan kit": "0.05-0.1", "nitrite kit": "<0.05", "ph probe": "7.08"},
        told_after=timedelta(hours=21),
    )


def _mishaps(weeks: Weeks) -> Iterator[Act]:
    for name, code, day, kind, lasted_h, note in (
        ("power", "X-03", 39, "POWER_LOSS", "1.5", "Breaker of the rear bench tripped overnight"),
        ("cloth", "S1", TROUBLED_SINCE - 1, "OTHER", None, "Drum cloth was rinsed under the tap"),
    ):
        happened_at = weeks.at(day, "07:10")
        command = LogIncident(
            id=ident(f"incident:{name}"),
            vessel_id=ident(code),
            kind=kind,
            lasted_h=None if lasted_h is None else decimal(float(lasted_h)),
            note=note,
            happened_at=happened_at,
        )
        yield _told(happened_at + timedelta(minutes=25), "jun", command)


def _buffered(weeks: Weeks) -> Iterator[Act]:
    litres = {regime.code: regime.litres for regime in REGIMES}
    for code, day, target_meq_l in (("S1", 18, 0.3), ("B1", 26, 0.4), ("S2", 30, 0.3)):
        yield entries.dose(
            Deed(name=f"{code} buffer", code=code, at=weeks.at(day, "15:40"), by="tove"),
            purpose="ALKALINITY",
            target=target_meq_l,
            product="bicarbonate",
            litres=litres[code],
        )


def _moves(weeks: Weeks) -> Iterator[Act]:
    """A label that fell off, a name that changed, a tank measured anew, one retired."""
    label = Relabel(vessel_id=ident("P-02"), label=new_code(ident("label:P-02:second").bytes))
    yield _told(weeks.at(12, "10:20"), "tove", label)
    named = RenameVessel(vessel_id=ident("Z-04"), code="Z-04", name="Isolation, large")
    yield _told(weeks.at(15, "09:10"), MANAGER, named)
    measured_at = weeks.at(26, "11:00")
    measured = MeasureVolume(
        id=ident("volume:A-03:second"),
        vessel_id=ident("A-03"),
        happened_at=measured_at,
        means="GEOMETRY",
        basis=box(100, 45, 45, bed_depth_cm="6", bed_porosity="0.4"),
    )
    yield _told(measured_at + timedelta(minutes=10), "tove", measured)
    gone = RetireVessel(vessel_id=ident("A-09"), happened_at=weeks.at(20, "12:00"))
    yield _told(weeks.at(20, "12:10"), MANAGER, gone)


def _told(at: datetime, by: str, command: Any) -> Act:
    return Act(at=at, by=by, command=command)
