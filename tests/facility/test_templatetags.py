import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.template import engines
from django.utils import timezone

import facility
from facility.models import Person
from facility.templatetags.facility import _STATES

NOON = datetime(2026, 10, 25, 12, 0, tzinfo=UTC)


def drawn(source: str, **facts: Any) -> str:
    return engines["django"].from_string("{% load facility %}" + source).render(facts)


def test_a_quantity_shows_number_unit_and_basis() -> None:
    html = drawn("{% quantity value 'mg/L' 'NO3' %}", value=41.26)

    assert html == '<span>41.3<span class="unit">\N{NO-BREAK SPACE}mg/L as NO₃</span></span>'


def test_a_quantity_without_a_value_is_unknown_and_bears_no_unit() -> None:
    assert drawn("{% quantity None 'mg/L' 'N' %}") == "<span>unknown</span>"


def test_what_was_typed_is_shown_as_text_and_never_as_markup() -> None:
    assert "&lt;0.25" in drawn("{% quantity typed 'mg/L' 'N' %}", typed="<0.25")


def test_a_moment_is_drawn_by_the_given_zone_and_else_by_the_active_one() -> None:
    zone = ZoneInfo("Asia/Singapore")

    given = drawn("{{ at|moment:zone }}", at=NOON, zone=zone)
    with timezone.override(zone):
        active = drawn("{{ at|moment }}", at=NOON)

    assert given == active
    assert given == '<time datetime="2026-10-25T12:00:00+00:00">Sun 25 Oct 2026, 20:00</time>'


def test_an_age_is_told_against_the_moment_handed_in() -> None:
    html = drawn("{{ at|age:now }}", at=NOON, now=NOON + timedelta(hours=3))

    assert html == '<time datetime="2026-10-25T12:00:00+00:00">3 h ago</time>'


def test_what_never_happened_has_no_age_and_no_moment() -> None:
    assert drawn("{{ at|age:now }} {{ at|moment }}", at=None, now=NOON) == "never unknown"


def test_a_person_is_shown_by_full_name() -> None:
    ana = Person(username="ana", full_name="Ana Brandt", initials="AB")

    assert drawn("{{ ana|person }}, {{ nobody|person }}", ana=ana, nobody=None) == (
        "Ana Brandt, Penstock"
    )


@pytest.mark.parametrize(
    ("code", "word"),
    [
        ("in-range", "in range"),
        ("watch", "watch"),
        ("act-today", "act today"),
        ("act-now", "act now"),
        ("not-met", "not met"),
    ],
)
def test_a_state_is_always_written_as_a_word(code: str, word: str) -> None:
    assert drawn(f"{{% state '{code}' %}}") == f'<span class="badge {code}">{word}</span>'


@pytest.mark.parametrize("code", sorted(_STATES))
def test_every_state_has_its_mark_in_the_stylesheet(code: str) -> None:
    sheet = Path(facility.__file__).with_name("static") / "facility" / "parts.css"

    assert re.search(rf"\.{code}::before[^{{]*{{", sheet.read_text(encoding="utf-8"))


def test_a_state_nobody_defined_is_an_error() -> None:
    with pytest.raises(KeyError):
        drawn("{% state 'fine' %}")


def test_requirements_show_every_state_with_its_evidence() -> None:
    rows = [
        {"state": "met", "title": "Chlorine", "sentence": "Zero.", "evidence": [("R1", "/r/1/")]},
        {"state": "unknown", "title": "Oxygen", "sentence": "Not read.", "evidence": []},
    ]

    html = drawn("{% include 'facility/_requirement_list.html' %}", requirements=rows)

    assert html.count("<h3>") == 2
    assert '<a href="/r/1/">R1</a>' in html
    assert 'class="badge unknown">unknown<' in html


def test_a_table_row_that_does_not_fit_its_columns_is_an_error() -> None:
    table = {"columns": ("A", "B"), "rows": [("1",)]}

    with pytest.raises(ValueError, match="shorter"):
        drawn("{% include 'facility/_table.html' %}", table=table)


def test_a_table_without_rows_says_so() -> None:
    html = drawn("{% include 'facility/_table.html' %}", table={"columns": ("A",), "rows": []})

    assert "Nothing is recorded yet." in html
    assert "<table" not in html
