"""Every deed: one name everywhere, one ledger line however often delivered, roles hold."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, is_dataclass
from pathlib import Path
from typing import Any

import pytest

from deploy.addresses import ROOT
from facility.models import Entry, Person
from facility.queries.proof import first_breach
from facility.sockets.deeds import Deed, deeds
from tests.cast import House
from tests.contracts.acts import ACTS
from tests.contracts.standing import doer_of, plain, posted, undone

DEEDS = [deed for deed in deeds if deed.roles]
OPEN_TO_ALL = {"facility.open-site"}


@dataclass(frozen=True)
class Act:
    deed: Deed
    house: House
    command: Any

    @property
    def doer(self) -> Person:
        return doer_of(self.deed, self.house)


@pytest.fixture(scope="module", params=DEEDS, ids=lambda deed: deed.name)
def act(request: pytest.FixtureRequest, standing_house: House) -> Iterator[Act]:
    deed: Deed = request.param
    with undone():
        yield Act(deed, standing_house, ACTS[deed.name](standing_house))


def test_every_deed_has_an_example_and_no_example_lacks_its_deed() -> None:
    assert sorted(ACTS) == sorted(deed.name for deed in DEEDS)


@pytest.mark.parametrize("deed", deeds, ids=lambda deed: deed.name)
def test_one_name_everywhere(deed: Deed) -> None:
    app, _, verb = deed.name.partition(".")
    function = verb.replace("-", "_")

    assert deed.give.__name__ == function
    assert deed.give.__module__.startswith(f"{app}.commands.")
    assert deed.command.__name__ == "".join(word.capitalize() for word in verb.split("-"))
    assert deed.command.__module__.startswith(f"{app}.commands.")
    assert is_dataclass(deed.command)
    assert _tests_of(app, function), f"no test in tests/{app} gives {function}"


@pytest.mark.django_db
def test_it_is_done_once_however_often_it_is_delivered(act: Act) -> None:
    body = plain(act.command)
    before = Entry.objects.count()

    first = posted(act.deed.name, body, by=act.doer)
    again = posted(act.deed.name, body, by=act.doer)

    assert first.status_code == 201, first.content
    assert (again.status_code, again.json()) == (201, first.json())
    assert Entry.objects.count() == before + 1
    assert Entry.objects.latest("pk").kind == act.deed.name
    assert Entry.objects.latest("pk").by == act.doer
    assert first_breach(act.house.site) is None


@pytest.mark.django_db
def test_a_stranger_finds_nothing_and_an_auditor_may_not(act: Act) -> None:
    body = plain(act.command)
    before = Entry.objects.count()
    if act.deed.name in OPEN_TO_ALL:
        pytest.skip("Anybody may open a site of their own.")

    stranger, auditor = (
        posted(act.deed.name, body, by=person) for person in (act.house.bo, act.house.hale)
    )

    assert (stranger.status_code, stranger.json()["code"]) == (404, "not-found")
    assert auditor.status_code == 403, auditor.content
    assert auditor.json()["code"] == "not-allowed"
    assert Entry.objects.count() == before


@pytest.mark.django_db
def test_one_id_names_one_thing(act: Act) -> None:
    changed = _changed(plain(act.command))
    if changed is None:
        pytest.skip("It has no id of its own, or nothing beside its id.")
    posted(act.deed.name, plain(act.command), by=act.doer)
    before = Entry.objects.count()

    other = posted(act.deed.name, changed, by=act.doer)

    assert (other.status_code, other.json().get("code")) == (409, "id-taken"), other.content
    assert Entry.objects.count() == before


def _tests_of(app: str, function: str) -> list[Path]:
    """Tests that give it, or that bear its name."""
    named = re.compile(rf"^(from|import|    ).*\b{function}\b", re.MULTILINE)
    tests = (ROOT / "tests" / app).glob("test_*.py")
    return [
        test
        for test in tests
        if test.stem == f"test_{function}" or named.search(test.read_text("utf-8"))
    ]


def _changed(body: dict[str, Any]) -> dict[str, Any] | None:
    """The same with another text or number in one of its own words."""
    words = ("code", "name", "meaning", "why", "note", "origin", "source", "text", "reason")
    if "id" not in body:
        return None
    known = next((word for word in words if word in body), None)
    return None if known is None else body | {known: f"{body[known]}1"}
