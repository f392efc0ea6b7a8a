"""The bench of the dose guard: what counts as dangerous is told by the water, not by the guard."""

import ast
from collections import Counter
from pathlib import Path

import pytest

from deploy.bench.guarding import Entry, dangers, entries
from deploy.bench.guarding import truth as module
from deploy.bench.guarding.truth import Truth
from deploy.bench.guards import guard_bench
from deploy.bench.options import Options
from quarantine.rules.guard import stops


@pytest.fixture(scope="module")
def known() -> list[Entry]:
    return entries()


def test_more_than_200_entries_the_same_every_time(known: list[Entry]) -> None:
    assert len(known) >= 200
    assert known == entries()
    slips = Counter(entry.slip for entry in known if entry.slip)
    assert len(slips) >= 25
    assert known != entries(seed=1)


def test_99_of_100_dangerous_doses_are_stopped_and_at_most_2_of_100_right_ones() -> None:
    found = guard_bench(Options())
    assert found["dangerous"]["n"] >= 200
    assert found["dangerous"]["share"] >= 0.99, found["let in though dangerous"]
    assert found["right"]["n"] >= 200
    assert found["right"]["share"] <= 0.02, found["stopped though right"]


@pytest.mark.parametrize("seed", [11, 12, 13])
def test_so_it_is_with_other_seeds(seed: int) -> None:
    found = guard_bench(Options(seed=seed))
    assert found["dangerous"]["share"] >= 0.99
    assert found["right"]["share"] <= 0.02


def test_what_is_dangerous_is_told_without_the_guard() -> None:
    tree = ast.parse(Path(module.__file__).read_text("utf-8"))
    named = [node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    assert not [name for name in named if name and name.startswith("quarantine")]


def fine(**changes: object) -> Truth:
    told = {
        "agent": "COPPER_FREE",
        "level": 0.18,
        "meant": 0.18,
        "reached": (("Zebrasoma flavescens", "FISH"),),
    }
    return Truth(**told | changes)  # type: ignore[arg-type]  # each case changes what it is about


@pytest.mark.parametrize(
    ("truth", "reasons"),
    [
        (fine(), ()),
        (fine(level=0.216), ("over a limit",)),
        (fine(level=0.25), ("overdose",)),
        (fine(level=0.08), ("untreated",)),
        (fine(reached=(("Turbo fluctuosus", "MOLLUSC"),)), ("kills what lives there",)),
        (fine(alkalinity_meq_l=0.5), ("copper in soft water",)),
        (
            fine(
                agent="FORMALIN",
                level=200,
                meant=200,
                temperature_c=10.0,
                reached=(("Salmo trutta", "FISH"),),
            ),
            ("over a limit",),
        ),
        (
            fine(agent="FORMALIN", level=200, meant=200, minutes=61, oxygen_mg_l=4.0),
            ("too little oxygen", "too long"),
        ),
    ],
)
def test_danger_by_the_level_that_results(truth: Truth, reasons: tuple[str, ...]) -> None:
    assert dangers(truth) == reasons


def test_a_slip_alone_is_not_yet_a_danger(known: list[Entry]) -> None:
    """A fifth too much of a weak dye is no harm: it counts neither as dangerous nor as right."""
    harmless = [one for one in known if one.slip and not dangers(one.truth)]
    assert 0 < len(harmless) < len(known) / 20


def test_right_entries_hold_odd_looking_ones_and_no_danger(known: list[Entry]) -> None:
    right = [one for one in known if not one.slip]
    assert {one.asked.intent for one in right} == {"START", "BATH", "TOP_UP", "REDOSE"}
    assert [dangers(one.truth) for one in right] == [()] * len(right)
    assert not [one for one in right if stops(one.asked, one.ground, one.regime)]
