"""Questions of salinity, water, doses, chlorine, feed, volume and baths that have known answers.

Each row names where its answer stands: the trade's worked cases (common practice, worked by
hand), a printed table, or another library.
"""

import pytest

from chemistry.calculator import answer, calculation


def _value(name: str, output: str, told: dict[str, str]) -> float:
    return answer(calculation(name), told).values[output]


CASES = [
    # UNESCO 44: C(35, 25 °C) quoted by USGS TM 1-D3 as 53.087 mS/cm.
    (
        "salinity-from-conductivity",
        {"conductivity": "53.087 mS/cm", "temperature": "25 degC", "shown": "as measured"},
        ("salinity", 35.0, 0.02),
    ),
    (
        "salinity-from-conductivity",
        {"conductivity": "53087 uS/cm", "temperature": "77 degF", "shown": "at 25"},
        ("salinity", 35.0, 0.02),
    ),
    # Computed by gsw 3.6.23: a bare 1.025.
    ("salinity-from-gravity", {"gravity": "1.025", "scale": "60/60 °F"}, ("salinity", 32.58, 0.01)),
    ("salinity-from-gravity", {"gravity": "1.025", "scale": "unknown"}, ("high", 37.16, 0.01)),
    # EOS-80 print: 1023.34306 / 997.04796 at 25 °C.
    ("gravity-from-salinity", {"salinity": "35", "temperature": "25"}, ("on_25_25", 1.02637, 2e-5)),
    # The trade: 35 g/kg in 25 °C water on a 60 °F glass reads 1.0244 and is taken for 31.7.
    (
        "hydrometer-correction",
        {"reading": "1.0244", "temperature": "25 degC", "scale": "60/60 °F"},
        ("salinity", 35.0, 0.3),
    ),
    # Reference Composition: 412 mg/kg of calcium, 422 mg/L.
    (
        "ppm-by-weight-or-volume",
        {"amount": "412", "given": "mg/kg", "salinity": "35", "temperature": "25"},
        ("mg_l", 421.6, 0.1),
    ),
    ("seawater-composition", {"salinity": "35", "temperature": "25"}, ("alkalinity", 2.358, 1e-3)),
    # The trade: 35 to 14 with fresh water is 60 % by salinity, 60.6 % with densities.
    (
        "change-salinity",
        {
            "volume": "100 L",
            "salinity": "35",
            "target": "14",
            "source": "0",
            "temperature": "25",
        },
        ("exchange", 60.6, 0.1),
    ),
    # The trade: 300 L, 33 to 35 with brine of 45: 50 L.
    (
        "change-salinity",
        {
            "volume": "300 L",
            "salinity": "33",
            "target": "35",
            "source": "45",
            "temperature": "25",
        },
        ("exchange", 50.0, 0.5),
    ),
    # By hand: 18 to 35 at 6 a day is three days.
    (
        "salinity-ramp",
        {
            "volume": "1000 L",
            "salinity": "18",
            "target": "35",
            "step": "6",
            "by": "salt",
            "temperature": "26",
        },
        ("days", 3.0, 0.0),
    ),
    # The trade: nitrate 80 to 20 with tap water of 10.
    (
        "water-changes-to-target",
        {"level": "80", "source": "10", "target": "20", "fraction": "25 %"},
        ("at_once", 85.71, 0.01),
    ),
    (
        "water-changes-to-target",
        {"level": "80", "source": "10", "target": "20", "fraction": "33 %"},
        ("times", 5.0, 0.0),
    ),
    (
        "after-water-changes",
        {"level": "100", "source": "0", "fraction": "25 %", "times": "2"},
        ("after", 56.25, 1e-9),
    ),
    ("steady-level", {"gain": "10", "fraction": "10 %", "source": "0"}, ("before", 100.0, 1e-9)),
    (
        "redose-after-change",
        {"target": "1 mg/L", "fraction": "30 %", "volume": "100 L"},
        ("rise", 0.3, 1e-9),
    ),
    # Washout of a stirred tank: 1/e.
    (
        "flow-through",
        {"level": "1", "source": "0", "volume": "100 L", "poured": "100 L"},
        ("after", 0.36788, 1e-5),
    ),
    # The trade: 2 mg/L in 400 L is 3.06 g as N, 2.37 as NH4, 2.51 as NH3.
    (
        "ammonium-chloride-dose",
        {"rise": "2 mg/L as N", "volume": "400 L"},
        ("amount", 3.06, 0.01),
    ),
    (
        "ammonium-chloride-dose",
        {"rise": "2 mg/L as NH4", "volume": "400 L"},
        ("amount", 2.37, 0.01),
    ),
    (
        "ammonium-chloride-dose",
        {"rise": "2 mg/L as NH3", "volume": "400 L"},
        ("amount", 2.51, 0.01),
    ),
    # Computed: 10 US gal to 2 mg/L as NH3.
    (
        "ammonium-chloride-dose",
        {"rise": "2 mg/L as NH3", "volume": "10 gal_us"},
        ("amount", 0.2378, 2e-4),
    ),
    # Computed: 2 mg/L as NH3 in 100 L takes 4.1 mL of 5 %.
    (
        "household-ammonia-dose",
        {"rise": "2 mg/L as NH3", "volume": "100 L", "strength": "5 %"},
        ("amount", 4.1, 0.05),
    ),
    # Carius's table.
    ("ammonia-strength", {"gravity": "0.96"}, ("strength", 10.119, 1e-9)),
    # By hand: 830 mg a day into 500 L a day above 0.2.
    (
        "steady-level-under-flow",
        {"made": "0.83 g/day", "flow": "500 L/day", "source": "0.2 mg/L"},
        ("level", 1.86, 1e-9),
    ),
    # The trade: 1 mg/L as N at 10:1 on the ion takes 54 mg/L.
    (
        "salt-against-nitrite",
        {
            "nitrite": "1 mg/L as N",
            "ratio": "10",
            "counted": "nitrite ion",
            "chloride": "0 mg/L",
            "volume": "100 L",
        },
        ("salt", 54.1, 0.1),
    ),
    # 100 g/L of ammonium chloride holds 26.187 mg of nitrogen a mL.
    (
        "make-stock",
        {"salt": "ammonium chloride", "strength": "100 g/L", "made": "1 L"},
        ("counted", 26.187, 1e-3),
    ),
    # The trade: 0.75 % dye, 8 drops in 10 US gal are 0.079 mg/L.
    (
        "drops-dose",
        {"drops": "8", "strength": "7.5 mg/mL", "volume": "10 gal_us"},
        ("rise", 0.079, 5e-4),
    ),
    # By hand: four drops a US gallon making 2 mg/L imply 37.85 mg/mL.
    (
        "label-strength",
        {"rise": "2 mg/L", "volume": "1 gal_us", "poured": "0.2 mL"},
        ("strength", 37.85, 0.01),
    ),
    # The trade: 200 L at 3 mg/L take 4.2 g; 3 mg/L of chloramine frees 0.59 mg/L.
    (
        "dechlorinate",
        {"chlorine": "3 mg/L as Cl2", "kind": "chloramine", "volume": "200 L"},
        ("amount", 4.2, 0.01),
    ),
    (
        "dechlorinate",
        {"chlorine": "3 mg/L as Cl2", "kind": "chloramine", "volume": "200 L"},
        ("ammonia", 0.593, 1e-3),
    ),
    # 4 mg/L over 19 µg/L.
    (
        "chlorine-limit",
        {"chlorine": "4 mg/L as Cl2", "smallest": "0.02 mg/L as Cl2", "water": "fresh"},
        ("times_acute", 210.5, 0.1),
    ),
    # By hand: 10 g of chlorine out of 50 g/L.
    (
        "bleach-bath",
        {
            "bath": "200 mg/L as Cl2",
            "volume": "50 L",
            "percent": "5",
            "label": "available chlorine, g in 100 mL",
        },
        ("amount", 200.0, 1e-6),
    ),
    # An aquaponics text after Timmons & Ebeling: 2,000 g of 32 % make 58.9 g.
    (
        "feed-load",
        {"feed": "2 kg", "protein": "32 %", "volume": "1000 L"},
        ("tan_g", 58.9, 0.05),
    ),
    # The trade: 20 g at 45 % in 400 L are 2.07 mg/L.
    (
        "challenge-for-feed",
        {"feed": "20 g", "protein": "45 %", "volume": "400 L"},
        ("challenge", 2.07, 0.005),
    ),
    # 4 mg/L as N take 18.3 mg/L of oxygen and 1.60 dKH.
    (
        "nitrification-use",
        {"oxidised": "4 mg/L as N", "volume": "100 L"},
        ("oxygen", 18.3, 0.03),
    ),
    # Computed in another program.
    (
        "box-volume",
        {"length": "48 in", "width": "24 in", "height": "24 in"},
        ("us_gallons", 119.688, 1e-3),
    ),
    (
        "lying-cylinder-volume",
        {"diameter": "60 cm", "length": "100 cm", "depth": "20 cm"},
        ("litres", 82.502, 1e-3),
    ),
    (
        "cone-volume",
        {"top": "100 cm", "bottom": "80 cm", "depth": "60 cm"},
        ("litres", 383.274, 1e-3),
    ),
    # 0.15 mg/L of copper in 100 L: 58.94 mg of crystals; 25 mg/L of formalin: 2.31 mL.
    (
        "copper-dose",
        {"rise": "0.15 mg/L", "salt": "copper sulfate pentahydrate", "volume": "100 L"},
        ("amount", 58.94, 0.01),
    ),
    (
        "formalin-dose",
        {"amount": "25", "basis": "mg of formalin in a litre, weighed", "volume": "100 L"},
        ("amount", 2.31, 0.005),
    ),
    (
        "low-salinity-gravity",
        {"salinity": "16"},
        ("on_60_60", 1.01227, 1e-5),
    ),
]


@pytest.mark.parametrize(("name", "told", "expected"), CASES)
def test_it_answers_as_known(
    name: str, told: dict[str, str], expected: tuple[str, float, float]
) -> None:
    output, known, within = expected

    assert _value(name, output, told) == pytest.approx(known, abs=within)
