"""Whatever a device sends, it gets an answer: never a fault of ours, and nothing half kept."""

import json
from typing import Any, Final
from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from facility.models import Entry
from facility.sockets.deeds import deeds
from tests.contracts.standing import Act, plain, posted, undone

pytestmark = pytest.mark.django_db

NOBODY: Final = str(UUID(int=7))
NASTY: Final[tuple[Any, ...]] = (
    None,
    True,
    0,
    -1,
    2**31,
    10**40,
    1e300,
    0.1,
    "",
    " ",
    "0",
    "-5",
    "1e9",
    "1E+400",
    "NaN",
    "-Infinity",
    "9999999999",
    "0.0000001",
    "1" * 300,
    "a" * 299,
    "a" * 5000,
    "nul \0 inside",
    "half a pair \ud800",
    "ünïcode \u202e 🐟",
    "'; DROP TABLE tanks_reading; --",
    NOBODY,
    "0001-01-01T00:00:00Z",
    "9999-12-31T23:59:59.999999-14:00",
    "1900-01-01T00:00:00+14:00",
    "2200-12-31T23:59:59-12:00",
    "2026-03-29T01:30:00",
    "2026-02-30",
    "9999-12-31",
    "2200-12-31",
    [],
    [None],
    [[]],
    [NOBODY, NOBODY],
    {},
    {"litres": "1e99"},
    {"litres": "\0"},
    {"": {}},
)
JSON: Final = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=6,
)


@settings(max_examples=12)
@given(chosen=st.data())
def test_a_field_of_junk_is_refused_or_kept_and_never_a_fault(
    act: Act, chosen: st.DataObject
) -> None:
    body = plain(act.command)
    for path in chosen.draw(st.lists(st.sampled_from(_paths(body)), min_size=1, max_size=3)):
        _put(body, path, chosen.draw(st.sampled_from(NASTY) | JSON))

    _is_answered(act, body)


@settings(max_examples=4)
@given(body=JSON | st.sampled_from(["", "{", "null", '{"id": NaN}', '{"id": 1e999}', "\0", "[[["]))
def test_a_body_of_junk_is_refused(act: Act, body: Any) -> None:
    _is_answered(act, body, but=201)


@pytest.mark.parametrize("twin", [True, False])
@pytest.mark.parametrize("act", [deeds["tanks.log-readings"]], indirect=True, scope="module")
def test_rows_named_alike_are_refused(act: Act, *, twin: bool) -> None:
    """One id for two nested rows, or for the whole and one of its parts."""
    body = plain(act.command)
    rows = body["readings"]
    rows.append(dict(rows[0])) if twin else rows[0].update(id=body["id"])

    _is_answered(act, body)


def _is_answered(act: Act, body: Any, *, but: int = 0) -> None:
    with undone():
        before = Entry.objects.count()
        answer = posted(act.deed.name, body, by=act.doer)
        lines = Entry.objects.count() - before

        assert answer.status_code in {201, 400, 404, 409} - {but}, answer.content
        assert lines == (answer.status_code == 201)
        assert json.loads(answer.content)


def _paths(body: Any, *, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Where a value may be exchanged, down into lists and records."""
    steps = body.items() if isinstance(body, dict) else enumerate(body)
    found = []
    for step, value in steps:
        found.append((*at, step))
        if isinstance(value, dict | list):
            found += _paths(value, at=(*at, step))
    return found


def _put(body: Any, path: tuple[Any, ...], value: Any) -> None:
    """Exchange one value; a path that led through junk put there before leads nowhere."""
    *way, last = path
    for step in way:
        body = body[step] if isinstance(body, dict | list) and _has(body, step) else None
    if isinstance(body, dict) or (isinstance(body, list) and _has(body, last)):
        body[last] = value


def _has(body: Any, step: Any) -> bool:
    return step in body if isinstance(body, dict) else isinstance(step, int) and step < len(body)
