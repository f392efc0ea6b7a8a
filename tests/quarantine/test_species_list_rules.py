"""A list of species as text: what is taken, what is told, line by line; and sums of boxes."""

from dataclasses import dataclass
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.sheets import unsound
from quarantine.rules.species_list import BadList, Choices, Listed, listed
from quarantine.rules.tallies import tally

CHOICES = Choices(
    groups=frozenset({"FISH", "MOLLUSC"}),
    water_kinds=frozenset({"FRESH", "MARINE"}),
    care_classes=frozenset({"ROUTINE", "SENSITIVE"}),
)


def read(text: str) -> list[Listed]:
    return list(listed(text, CHOICES))


def test_columns_come_in_any_order_and_capitals_with_commas_or_semicolons() -> None:
    (one,) = read("\ufeffGROUP;SCIENTIFICNAME;phLow\nfish;Puntius titteya;6,5\n")

    assert (one.scientific_name, one.group, one.water_kind) == ("Puntius titteya", "FISH", "FRESH")
    assert one.figures["ph_low"] == Decimal("6.5")
    assert (one.fault, one.has_sheet, one.number) == ("", True, 2)


def test_a_name_alone_makes_no_sheet_and_empty_lines_are_left_out() -> None:
    (one,) = read("scientificName\n\nPuntius titteya\n  \n")

    assert not one.has_sheet


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (",FISH,20,26,21", "scientificName is empty"),
        ("A b,BIRD,20,26,21", "group is one of FISH, MOLLUSC"),
        ("A b,FISH,warm,26,21", "temperatureLowC: “warm”"),
        ("A b,FISH,20.55,26,21", "temperatureLowC"),
        ("A b,FISH,26,20,21", "upper temperature lies below"),
        ("A b,FISH,20,26,2.5", "shortestStayDays"),
        ("A b,FISH,NaN,26,21", "temperatureLowC"),
        ("A b,FISH,20,126,21", "Temperature to: give"),
        ("A" * 121 + ",FISH,20,26,21", "longer than 120"),
    ],
)
def test_what_is_wrong_is_told_of_the_line(line: str, told: str) -> None:
    head = "scientificName,group,temperatureLowC,temperatureHighC,shortestStayDays\n"
    (one,) = read(head + line)

    assert told in one.fault


@pytest.mark.parametrize("text", ["", "name,group\nA b,FISH\n"])
def test_a_file_without_scientific_names_is_no_list(text: str) -> None:
    with pytest.raises(BadList, match="scientificName"):
        read(text)


def test_a_figure_that_is_not_known_is_never_wrong() -> None:
    assert not list(unsound({}))
    assert not list(unsound({"ph_low": Decimal(7), "ph_high": None}))


@dataclass(frozen=True)
class Told:
    invoiced: int
    alive: int
    dead_on_arrival: int
    weak: int = 0


def test_one_box_over_does_not_make_up_for_another_that_is_short() -> None:
    told = tally([Told(50, 45, 2), Told(50, 53, 0)])

    assert (told.boxes, told.short, told.over, told.dead_on_arrival) == (2, 3, 3, 2)
    assert told.dead_percent == 2.0  # 2 of the 100 that came


counts = st.integers(0, 500)


@given(st.lists(st.builds(Told, counts, counts, counts)))
def test_invoiced_is_always_what_came_and_what_is_short_less_what_is_over(
    boxes: list[Told],
) -> None:
    told = tally(boxes)

    assert told.invoiced == told.alive + told.dead_on_arrival + told.short - told.over
    assert (told.dead_percent is None) == (not told.alive + told.dead_on_arrival)
