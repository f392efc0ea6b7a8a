"""A case file is answered on the command line, without servers."""

import json
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command
from pytest_django import DjangoDbBlocker

CASE = {
    "format": "cycle-case/1",
    "now_h": 72.0,
    "system": {"water": "fresh", "temperature_setpoint_c": 26.0},
    "events": [
        {"t_h": 0.0, "kind": "inoculate"},
        {"t_h": 0.5, "kind": "dose_nh4cl", "amount": 2.0, "unit": "mg/L", "basis": "N"},
    ],
    "readings": [
        {"t_h": t_h, "parameter": "tan", "basis": "N", "unit": "mg/L", "value": value}
        for t_h, value in ((1.0, 2.0), (24.0, 1.7), (48.0, 1.0))
    ],
}


def test_a_case_file_is_answered_without_a_database(
    tmp_path: Path, django_db_blocker: DjangoDbBlocker
) -> None:
    path, said = tmp_path / "case.json", StringIO()
    path.write_text(json.dumps(CASE))

    with django_db_blocker.block():
        call_command("forecast", str(path), "--json", stdout=said)

    answered = json.loads(said.getvalue())
    assert set(answered) == {
        "ready_at_h",
        "never_by_horizon",
        "causes",
        "next_step",
        "members",
        "seconds",
    }
    assert set(answered["ready_at_h"]) == {"p05", "p10", "p25", "p50", "p75", "p90", "p95"}
    assert set(answered["next_step"]) == {"kind", "amount", "unit", "why"}


def test_a_case_file_is_answered_in_plain_words(tmp_path: Path) -> None:
    path, said = tmp_path / "case.json", StringIO()
    path.write_text(json.dumps(CASE))

    call_command("forecast", str(path), stdout=said)

    assert "First pass:" in said.getvalue()
    assert "Next:" in said.getvalue()


@pytest.mark.parametrize(("now_h", "has_middle"), [(72.0, False), (200.0, True)])
def test_first_week_has_no_middle(tmp_path: Path, now_h: float, *, has_middle: bool) -> None:
    """Before about day 7 to 10 the median tells no more than earlier start-ups do (own study)."""
    path, said = tmp_path / "case.json", StringIO()
    path.write_text(json.dumps(CASE | {"now_h": now_h}))

    call_command("forecast", str(path), stdout=said)

    assert ("middle day" in said.getvalue()) is has_middle


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ('{"format": "cycle-case/1",\n oops}', "Line 2"),
        (json.dumps(CASE | {"readings": CASE["readings"][:2]}), "readings"),  # type: ignore[index]  # a list
        (json.dumps(CASE | {"now_h": -1}), "now_h"),
    ],
)
def test_a_file_that_is_no_case_ends_with_two_and_one_sentence(
    tmp_path: Path, text: str, named: str
) -> None:
    path, said = tmp_path / "case.json", StringIO()
    path.write_text(text)

    with pytest.raises(SystemExit) as ended:
        call_command("forecast", str(path), "--json", stderr=said)

    assert ended.value.code == 2
    assert named in said.getvalue()
    assert len(said.getvalue().strip().splitlines()) == 1


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    said = StringIO()

    with pytest.raises(SystemExit):
        call_command("forecast", str(tmp_path / "none.json"), stderr=said)

    assert "none.json cannot be read" in said.getvalue()
