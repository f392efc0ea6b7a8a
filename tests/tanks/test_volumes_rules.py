"""Net litres from a meter or a tape measure, checked against plane and solid geometry.

Shapes: values worked out from the textbook formulas named beside each (exact geometry).
Units: 1 US gallon is 231 cubic inches, 3.785411784 L, and 1 imperial gallon 4.54609 L, by
definition. Porosity: 0.28 to 0.42 for wet-packed sand, Beard & Weyl (1973), AAPG Bull. 57:349.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tanks.rules.volumes import GEOMETRY, METERED, BadBasis, working

BOX = {
    "shape": "box",
    "length_cm": "120",
    "width_cm": "50",
    "height_cm": "60",
    "glass_cm": "1.0",
    "base_cm": "1.2",
    "freeboard_cm": "3",
}
BED = {"bed_depth_cm": "5", "bed_porosity": "0.396"}
ROCK = {"rock_kg": "20", "rock_density_kg_l": "2.71"}


def test_glass_and_freeboard_leave_less_than_the_brochure() -> None:
    # (120 - 2)(50 - 2)(60 - 1.2 - 3) cm3; the nominal litres would be 360.
    assert working(GEOMETRY, BOX).litres == pytest.approx(316.051, abs=5e-4)


@pytest.mark.parametrize(
    ("basis", "litres"),
    [
        # pi r2 h
        ({"shape": "cylinder", "diameter_cm": "50", "depth_cm": "60"}, 117.810),
        # box and circular segment: chord 90, bow 10
        (
            {
                "shape": "bow_front",
                "length_cm": "90",
                "end_width_cm": "35",
                "centre_width_cm": "45",
                "depth_cm": "50",
            },
            187.794,
        ),
        # 3 sqrt(3) / 2 a2 h
        ({"shape": "hexagon", "side_cm": "30", "depth_cm": "60"}, 140.296),
    ],
)
def test_shapes_hold_what_geometry_says(basis: dict[str, str], litres: float) -> None:
    assert working(GEOMETRY, basis).litres == pytest.approx(litres, abs=5e-4)


def test_bed_takes_away_its_grains_and_not_its_pores() -> None:
    # 110 x 40 x 5 cm is 22 L of bed; quartz 2.65 packed to 1.6 kg/L is 0.396 water: 13.28 L of
    # grains.
    inside = BOX | {
        "length_cm": "110",
        "width_cm": "40",
        "glass_cm": "0",
        "base_cm": "0",
        "freeboard_cm": "0",
    }

    lines = working(GEOMETRY, inside | BED).lines

    assert lines[1].litres == pytest.approx(-13.288, abs=5e-3)


def test_bed_in_a_box_of_glass_lies_between_its_walls() -> None:
    # (120 - 2)(50 - 2) 5 cm3 is 28.32 L, of which 60.4 % is grains.
    assert working(GEOMETRY, BOX | BED).lines[1].litres == pytest.approx(-17.105, abs=5e-4)


def test_rock_takes_away_its_mineral_volume() -> None:
    # 20 kg of calcite at 2.71 kg/L.
    assert working(GEOMETRY, BOX | ROCK).lines[1].litres == pytest.approx(-7.380, abs=5e-4)


@pytest.mark.parametrize(
    ("unit", "litres"),
    [("L", 100.0), ("m3", 100_000.0), ("gal_us", 378.5411784), ("gal_imp", 454.609)],
)
def test_meter_counts_in_its_own_unit(unit: str, litres: float) -> None:
    basis = {"meter_before": "250", "meter_after": "350", "meter_unit": unit}

    assert working(METERED, basis).litres == pytest.approx(litres, rel=1e-9)


@pytest.mark.parametrize(
    ("means", "basis", "field"),
    [
        (METERED, {"meter_before": "350", "meter_after": "250"}, "meter_after"),
        (METERED, {"meter_before": "350", "meter_after": "350"}, "meter_after"),
        (METERED, {"litres": "0"}, "litres"),
        (METERED, {"litres": "-5"}, "litres"),
        (METERED, {"litres": "10000001"}, "litres"),
        (METERED, {"meter_before": "350"}, "meter_after"),
        (
            METERED,
            {"meter_before": "1", "meter_after": "2", "meter_unit": "bucket"},
            "meter_unit",
        ),
        (GEOMETRY, {}, "shape"),
        (GEOMETRY, BOX | {"height_cm": ""}, "height_cm"),
        (GEOMETRY, BOX | {"height_cm": "tall"}, "height_cm"),
        (GEOMETRY, BOX | {"freeboard_cm": "59"}, "height_cm"),
        (GEOMETRY, BOX | BED | {"bed_porosity": "1.4"}, "bed_porosity"),
        (GEOMETRY, BOX | BED | {"bed_depth_cm": "95"}, "displaced_l"),
        (GEOMETRY, BOX | ROCK | {"rock_kg": "2000"}, "displaced_l"),
        (GEOMETRY, BOX | {"length_cm": "nan"}, "length_cm"),
        (METERED, {"litres": "NaN"}, "litres"),
        (METERED, {"litres": "1e999"}, "litres"),
    ],
)
def test_impossible_measures_name_what_to_mend(
    means: str, basis: dict[str, str], field: str
) -> None:
    with pytest.raises(BadBasis) as refusal:
        working(means, basis)

    assert refusal.value.field == field
    assert str(refusal.value).endswith(".")


@given(
    st.floats(0.0, 1.0),
    st.floats(0.5, 20.0),
    st.floats(0.0, 100.0),
)
def test_what_stands_in_the_water_never_adds_any(
    porosity: float, depth_cm: float, rock_kg: float
) -> None:
    basis = BOX | {
        "bed_depth_cm": str(depth_cm),
        "bed_porosity": str(porosity),
        "rock_kg": str(rock_kg),
        "rock_density_kg_l": "2.7",
    }

    assert 0 < working(GEOMETRY, basis).litres <= working(GEOMETRY, BOX).litres
