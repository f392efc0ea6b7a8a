"""Every deed: one name everywhere, one ledger line however often delivered, roles hold."""

import re
from dataclasses import is_dataclass
from pathlib import Path

import pytest

from deploy.addresses import ROOT
from facility.models import Entry
from facility.queries.proof import first_breach
from facility.sockets.deeds import Deed, deeds
from tests.contracts.acts import DEEDS
from tests.contracts.standing import Act, plain, posted

# Anybody may open a site of their own.
CLOSED = [deed for deed in DEEDS if deed.name != "facility.open-site"]
# A word of each that may not change under its id; the others name their row, or hold only ids.
WORDS = {
    "facility.open-site": "name",
    "facility.open-area": "name",
    "facility.invite-person": "full_name",
    "facility.issue-document": "kind",
    "facility.pair-handset": "name",
    "facility.set-pin": "pin",
    "facility.keep-photo": "happened_at",
    "facility.raise-task": "title",
    "facility.set-duty": "title",
    "facility.answer-task": "happened_at",
    "facility.leave-loose-end": "what",
    "facility.return-loose-end": "note",
    "facility.extend-loose-end": "reason",
    "facility.take-break": "happened_at",
    "facility.hand-over": "text",
    "facility.set-shift": "ends_at",
    "facility.grant-skill": "name",
    "facility.draw-up-rounds": "on",
    "facility.open-calendar": "token_sha256",
    "facility.keep-report": "begins_on",
    "tanks.act-on-reading": "note",
    "tanks.lend-valve": "why",
    "tanks.log-walk": "happened_at",
    "facility.set-maintenance": "why",
    "facility.add-channel": "name",
    "facility.add-webhook": "name",
    "facility.set-call-policy": "source",
    "tanks.set-alarm-rule": "source",
    "tanks.open-vessel": "code",
    "tanks.open-valve": "valve",
    "tanks.install-device": "name",
    "tanks.switch-device": "why",
    "tanks.define-method": "name",
    "tanks.correct-reading": "text",
    "tanks.withdraw-entry": "reason",
    "tanks.shelve-product": "name",
    "tanks.log-water-change": "source",
    "tanks.log-seeding": "origin",
    "tanks.log-source-reading": "source",
    "tanks.log-incident": "note",
    "tanks.log-dose": "amount",
    "tanks.log-feeding": "grams",
    "tanks.measure-volume": "happened_at",
    "tanks.plan-ramp": "starts_on",
    "tanks.start-cycle": "declared_feed_g_per_day",
    "tanks.judge-challenge": "happened_at",
    "tanks.sign-certificate": "meaning",
    "quarantine.admit-animals": "meaning",
    "quarantine.open-kit": "name",
    "quarantine.hold-traced": "why",
    "quarantine.use-kit": "note",
    "quarantine.clean-kit": "disinfectant",
    "quarantine.start-reset": "why",
    "quarantine.take-reset-step": "note",
    "quarantine.record-stocking": "what",
    "quarantine.set-agent": "source",
    "quarantine.shelve-container": "name",
    "quarantine.record-trial": "note",
    "quarantine.order-treatment": "condition",
    "quarantine.open-course": "why",
    "quarantine.give-dose": "amount",
    "quarantine.end-bath": "note",
    "quarantine.read-level": "method",
    "quarantine.compute-dose": "amount",
    "quarantine.override-guard": "why",
    "quarantine.begin-clearance": "note",
    "quarantine.confirm-clear": "note",
    "quarantine.abandon-course": "note",
    "quarantine.describe-species": "vernacular_name",
    "quarantine.set-species-sheet": "source",
    "quarantine.add-supplier": "name",
    "quarantine.set-protocol": "steps",
    "quarantine.announce-consignment": "reference",
    "quarantine.receive-box": "note",
    "quarantine.correct-box": "reason",
    "quarantine.open-lot": "note",
    "quarantine.split-lot": "note",
    "quarantine.merge-lots": "note",
    "quarantine.correct-count": "reason",
    "quarantine.sell-animals": "note",
    "quarantine.send-off": "destination",
    "quarantine.report-missing": "note",
    "quarantine.amend-change": "reason",
    "quarantine.place-hold": "why",
    "quarantine.lift-hold": "why",
    "quarantine.move-animals": "acclimation",
    "quarantine.release-lot": "meaning",
    "quarantine.drop-planned-entry": "reason",
    "quarantine.set-stay-rule": "source",
    "quarantine.set-stay-policy": "source",
    "quarantine.set-life-cycle": "source",
    "quarantine.log-observation": "note",
    "quarantine.log-death": "note",
    "quarantine.withdraw-death": "reason",
    "quarantine.log-necropsy": "gross",
    "quarantine.set-carcass": "note",
    "quarantine.log-finding": "agent",
    "quarantine.set-health-rule": "source",
}
BY_WORD = [deeds[name] for name in WORDS]
OTHERWISE = {"happened_at": "2026-03-30T06:00:00Z", "starts_on": "2026-04-20", "amount": "3.1"}
OTHERWISE |= {"ends_at": "2026-03-30T16:00:00Z", "on": "2026-04-20", "token_sha256": "2" * 64}
OTHERWISE |= {"begins_on": "2026-03-09"}
OTHERWISE |= {"grams": "5.5", "declared_feed_g_per_day": "9"}


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
@pytest.mark.parametrize("act", CLOSED, indirect=True, scope="module", ids=lambda deed: deed.name)
def test_a_stranger_finds_nothing_and_an_auditor_may_not(act: Act) -> None:
    body = plain(act.command)
    before = Entry.objects.count()

    stranger, auditor = (
        posted(act.deed.name, body, by=person) for person in (act.house.bo, act.house.hale)
    )

    assert (stranger.status_code, stranger.json()["code"]) == (404, "not-found")
    assert auditor.status_code == 403, auditor.content
    assert auditor.json()["code"] == "not-allowed"
    assert Entry.objects.count() == before


@pytest.mark.django_db
@pytest.mark.parametrize("act", BY_WORD, indirect=True, scope="module", ids=lambda deed: deed.name)
def test_one_id_names_one_thing(act: Act) -> None:
    body, word = plain(act.command), WORDS[act.deed.name]
    assert posted(act.deed.name, body, by=act.doer).status_code == 201
    before = Entry.objects.count()

    changed = body | {word: OTHERWISE.get(word, f"{body[word]}1")}
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
