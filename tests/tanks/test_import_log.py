"""Taking over a written log: two hundred lines, twelve of them bad, recorded once."""

from datetime import timedelta
from decimal import Decimal
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from facility.models import Entry
from tanks.models import Method, Reading
from tests.cast import NOON, House
from tests.tanks.estate import vessel_of
from tests.tanks.samples import nitrite_kit

HEADER = "time,tank,parameter,value,unit,basis,method,person"
# Line, and words of the reason it is refused with.
BAD = [
    ("2026-03-01T09:00:00,A-01,tan,1,mg/L,N,colour kit,ana", "has no zone"),
    ("yesterday,A-01,tan,1,mg/L,N,colour kit,ana", "is not a time"),
    ("2126-03-01T09:00:00Z,A-01,tan,1,mg/L,N,colour kit,ana", "lies in the future"),
    ("2026-03-01T09:00:00Z,Z-99,tan,1,mg/L,N,colour kit,ana", "no tank or system Z-99"),
    ("2026-03-01T09:00:00Z,A-01,ammonia,1,mg/L,N,colour kit,ana", "is not a parameter"),
    ("2026-03-01T09:00:00Z,A-01,tan,much,mg/L,N,colour kit,ana", "is not a value"),
    ("2026-03-01T09:00:00Z,A-01,ph,15,,,probe,ana", "within 0 to 14"),
    ("2026-03-01T09:00:00Z,A-01,nitrite,1,ppm,N,Nitrite drops,ana", "is not written in ppm"),
    ("2026-03-01T09:00:00Z,A-01,nitrite,1,mg/L,,Nitrite drops,ana", "mg/L as NO2"),
    ("2026-03-01T09:00:00Z,A-01,nitrite,0,mg/L,N,Nitrite drops,ana", "write <0.25"),
    ("2026-03-01T09:00:00Z,A-01,tan,1,mg/L,N,test strip,ana", "no method “test strip”"),
    ("2026-03-01T09:00:00Z,A-01,tan,1,mg/L,N,colour kit,Bo Reyes", "does not work at"),
]
ROWS = [("tan", "{n}", "mg/L", "N", "colour kit"), ("ph", "7.{n}", "", "", "probe")]
ROWS += [("nitrite", "<0.25", "mg/L", "N", "Nitrite drops")]
ROWS += [("temperature", "25,{n}", "°C", "", "Probe")]


def good_lines(count: int) -> list[str]:
    """Readings an hour apart, by Ana under both her names, values of one decimal place."""
    begun = NOON - timedelta(days=20)
    return [
        '{},A-01,{},"{}",{},{},{},{}'.format(
            (begun + timedelta(hours=n)).isoformat(),
            parameter,
            value.format(n=n % 3),
            unit,
            basis,
            method,
            "ana" if n % 2 else "Ana Quill",
        )
        for n, (parameter, value, unit, basis, method) in (
            (n, ROWS[n % len(ROWS)]) for n in range(count)
        )
    ]


def run(path: Path, *options: str) -> tuple[list[str], bool]:
    """Return what it printed and whether it ended well."""
    out = StringIO()
    try:
        call_command("import-log", str(path), *options, stdout=out)
    except CommandError as error:
        return [*out.getvalue().splitlines(), str(error)], False
    return out.getvalue().splitlines(), True


@pytest.fixture
def log(house: House, tmp_path: Path) -> Path:
    vessel_of(house)
    nitrite_kit(house)
    lines = good_lines(188)
    for place, (line, _) in enumerate(BAD):
        lines.insert(place * 16, line)
    path = tmp_path / "log.csv"
    path.write_text("\n".join([HEADER, *lines]) + "\n", encoding="utf-8")
    return path


def test_it_looks_first_and_names_every_bad_line(log: Path) -> None:
    printed, ended_well = run(log)

    assert not ended_well
    assert not Reading.objects.exists()
    assert not Method.objects.filter(name="probe").exists()
    assert "would record 188, already there 0, bad 12" in printed
    found = [line for line in printed if line.startswith("line ") and "note:" not in line]
    places = [place * 16 + 2 for place in range(12)]
    assert [line.split(":")[0] for line in found] == [f"line {place}" for place in places]
    for line, (_, words) in zip(found, BAD, strict=True):
        assert words in line


def test_good_lines_are_recorded_once_however_often_it_runs(log: Path, house: House) -> None:
    first, _ = run(log, "--record")
    again, _ = run(log, "--record")

    assert "recorded 188, already there 0, bad 12" in first
    assert "recorded 0, already there 188, bad 12" in again
    assert Reading.objects.count() == 188
    assert Entry.objects.filter(kind="tanks.log-readings").count() == 188
    nitrite = Reading.objects.filter(parameter="NITRITE").earliest("happened_at")
    assert (nitrite.as_entered, nitrite.qualifier, nitrite.by) == ("<0.25", "BELOW", house.ana)
    assert nitrite.happened_at == NOON - timedelta(days=20) + timedelta(hours=2)
    assert nitrite.recorded_at > nitrite.happened_at + timedelta(days=1)


def test_a_mended_line_is_recorded_and_the_others_stay_single(log: Path) -> None:
    run(log, "--record")
    mended = log.read_text(encoding="utf-8").replace("Z-99", "A-01").replace("Bo Reyes", "ana")
    log.write_text(mended, encoding="utf-8")

    printed, _ = run(log, "--record")

    # The two mended lines have become the same one.
    assert "recorded 1, already there 188, bad 10" in printed
    assert Reading.objects.count() == 189


def test_spreadsheets_write_semicolons_and_a_byte_order_mark(house: House, tmp_path: Path) -> None:
    vessel_of(house)
    path = tmp_path / "log.csv"
    text = "Tank;Time;Parameter;Value;Unit;Basis;Method;Person;Remark\r\n"
    text += "a-01;2026-03-01T09:00:00+01:00;Nitrate;10-20;mg/L;NO3;colour kit;ANA;green\r\n"
    path.write_bytes(b"\xef\xbb\xbf" + text.encode())

    printed, ended_well = run(path, "--record")

    assert ended_well, printed
    reading = Reading.objects.get()
    assert (reading.as_entered, reading.upper) == ("10-20", Decimal(20))
    assert reading.basis == "NO3"


def test_a_surprise_is_noted_and_does_not_hold_the_line_back(house: House, tmp_path: Path) -> None:
    vessel_of(house)
    path = tmp_path / "log.csv"
    lines = [
        f"2026-03-01T{hour}:00Z,A-01,ph,{ph},,,probe,ana"
        for hour, ph in (("09", "7.8"), ("10", "8.9"), ("11", "8.8"))
    ]
    path.write_text("\n".join([HEADER, *lines]), encoding="utf-8")

    printed, ended_well = run(path, "--record")

    assert ended_well
    assert printed[0] == "line 3: note: That is far from the 7.8 read 1 h before."
    assert [row.surprise_confirmed for row in Reading.objects.order_by("happened_at")] == [
        False,
        True,
        False,
    ]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"time,tank,value\n", "parameter and unit and basis and method and person are missing"),
        (b"", "must name the columns"),
        ("time,tänk".encode("latin-1"), "is not UTF-8"),
    ],
)
def test_a_file_that_is_no_log_gets_one_sentence(
    house: House, tmp_path: Path, content: bytes, words: str
) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(content)

    printed, ended_well = run(path)

    assert not ended_well
    (sentence,) = printed
    assert words in sentence


def test_a_missing_file_and_an_unknown_site_get_one_sentence(house: House, tmp_path: Path) -> None:
    assert "cannot be read" in run(tmp_path / "nothing.csv")[0][0]
    assert run(tmp_path / "nothing.csv", "--site=Elsewhere")[0] == [
        "There is no site named Elsewhere."
    ]


def test_auditors_do_not_log(house: House, tmp_path: Path) -> None:
    vessel_of(house)
    path = tmp_path / "log.csv"
    line = "2026-03-01T09:00Z,A-01,ph,7.8,,,probe,Hale Brandt"
    path.write_text(f"{HEADER}\n{line}\n", encoding="utf-8")

    printed, _ = run(path)

    assert "line 2: Hale Brandt may not log readings at Kestrel Yard." in printed


def test_the_same_reading_spelled_otherwise_is_recorded_once(log: Path) -> None:
    spelled = (
        "2026-03-01T09:00:00Z,A-01,tan,1,mg/L,N,colour kit,ana",
        "2026-03-01T10:00:00+01:00,a-01,TAN,1,mg/l,n,Colour kit,Ana Quill",
        "2026-03-01T09:00:00Z,A-01,tan,2,mg/L,N,colour kit,ana",
    )
    log.write_text("\n".join([HEADER, *spelled]), encoding="utf-8")

    run(log, "--record")

    assert sorted(Reading.objects.values_list("as_entered", flat=True)) == ["1", "2"]


def test_a_quotation_mark_left_open_is_named_by_the_line_it_opens_on(log: Path) -> None:
    good = "2026-03-01T09:00:00Z,A-01,tan,1,mg/L,N,colour kit,ana"
    torn = good.replace("A-01", '"A-01')
    log.write_text(f"{HEADER}\n{good}\n{torn}\n{good}\n{good}", encoding="utf-8")

    said, ended_well = run(log)

    assert not ended_well
    assert said[0].startswith("line 3: A quotation mark opened here is not closed")


def test_a_field_longer_than_any_is_one_sentence(log: Path) -> None:
    log.write_text(f'{HEADER}\n"{"x" * 200_000}', encoding="utf-8")

    said, ended_well = run(log)

    assert not ended_well
    assert "quotation mark" in said[-1]
