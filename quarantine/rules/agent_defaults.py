"""The agents a new site may adopt: regimes and stops, each with where its figures come from.

These are data, not advice: what may be used, and on whose order, local law and the veterinarian
decide. A figure nobody has looked up says so and carries a badge on screen.
"""

from decimal import Decimal as D  # noqa: N817  a table of figures, kept readable
from typing import Final

from quarantine.rules.agent_forms import (
    CHLORAMINE_T,
    CHLOROQUINE,
    COPPER,
    COPPER_BOUND,
    FORMALIN,
    METHYLENE_BLUE,
    PEROXIDE,
    PRAZIQUANTEL,
    TABLE_SALT,
)
from quarantine.rules.agent_values import (
    CHLORAMINE_TEXT,
    COPPER_EFFECTS_TEXT,
    COPPER_WINDOW_TEXT,
    FORMALIN_TEXT,
    MEMORY,
    PEROXIDE_TEXT,
    PONDS_TEXT,
    PRAZIQUANTEL_TEXT,
    SALMONIDS,
    AgentValues,
    kills_invertebrates,
    stop,
)
from tanks.rules.defaults import PRACTICE

_COPPER_STOPS: Final = (
    kills_invertebrates("Copper", COPPER_EFFECTS_TEXT),
    stop("GROUPS", "Sharks and rays do not bear copper", MEMORY, groups=["ELASMOBRANCH"]),
    stop("ALKALINITY", "Copper harms most where alkalinity is low: measure it", MEMORY, low=1.0),
)
AGENTS: Final = (
    AgentValues(
        code="COPPER_FREE",
        name="Copper, free",
        counted_as="free copper, Cu²⁺",
        forms=COPPER,
        origin=COPPER_WINDOW_TEXT,
        regime="Two readings in a row inside the window are day 0; then tested daily. Rock and "
        "silicone bind copper and give it back when pH falls.",
        stops=(
            *_COPPER_STOPS,
            stop("MAXIMUM", "Free copper above this kills fish", MEMORY, most=0.25),
        ),
        cards=("copper", "treating", "vet", "discharge"),
        figures={
            "low": D("0.15"),
            "high": D("0.20"),
            "clock_days": D(14),
            "readings_in_row": 2,
            "clear_below": D("0.02"),
            "is_read": True,
            "takes_second": True,
            "devices_off": ["CARBON"],
        },
    ),
    AgentValues(
        code="COPPER_BOUND",
        name="Copper, bound (chelated)",
        counted_as="total copper of this very product",
        forms=COPPER_BOUND,
        origin=PRACTICE,
        regime="Each product has a target and a test of its own; nothing of free copper is carried "
        "over. The window comes from the order.",
        stops=_COPPER_STOPS,
        cards=("copper", "treating", "vet", "discharge"),
        figures={
            "clock_days": D(14),
            "readings_in_row": 2,
            "clear_below": D("0.02"),
            "is_read": True,
            "takes_second": True,
            "devices_off": ["CARBON"],
        },
    ),
    AgentValues(
        code="FORMALIN",
        name="Formalin",
        counted_as="formalin of 37 % formaldehyde, as it comes",
        unit="µL/L",
        forms=FORMALIN,
        origin=FORMALIN_TEXT,
        regime="Tank bath up to 1 h a day until the parasites are controlled. The 37 % is in the "
        "figure already: never correct for it again.",
        stops=(
            stop("MAXIMUM", "Finfish: at most 250 µL/L", FORMALIN_TEXT, most=250, groups=["FISH"]),
            stop(
                "MAXIMUM",
                "Salmon and trout from 10 °C (50 °F): at most 170 µL/L; at exactly 10 °C the text "
                "gives neither limit, and the lower is taken",
                FORMALIN_TEXT,
                most=170,
                genera=list(SALMONIDS),
                from_c=10.0,
            ),
            stop(
                "MAXIMUM",
                "Shrimp: at most 100 µL/L",
                FORMALIN_TEXT,
                most=100,
                groups=["CRUSTACEAN"],
            ),
            stop(
                "MINUTES",
                "Never more than 1 h, even without signs of stress",
                FORMALIN_TEXT,
                most=60,
            ),
            stop("OXYGEN", "Formalin takes oxygen: not below 5 mg/L", PONDS_TEXT, low=5.0),
            stop("TEMPERATURE", "Not above 27 °C", PONDS_TEXT, high=27.0),
            stop("REPEAT", "Once a day", FORMALIN_TEXT, least_h=20),
            stop(
                "GROUPS",
                "Formalin kills snails, corals and most other invertebrates",
                MEMORY,
                groups=["MOLLUSC", "CORAL", "OTHER_INVERTEBRATE"],
            ),
        ),
        cards=("formaldehyde", "treating", "vet", "discharge"),
        figures={
            "is_bath": True,
            "takes_second": True,
            "takes_trial": True,
            "stored_above_c": D("4.4"),
        },
    ),
    AgentValues(
        code="HYDROGEN_PEROXIDE",
        name="Hydrogen peroxide",
        counted_as="H₂O₂",
        forms=PEROXIDE,
        origin=PEROXIDE_TEXT,
        regime="Salmonids 100 mg/L for 30 min or 50-100 mg/L for 60 min, coolwater fish and "
        "channel catfish 50-75 mg/L for 60 min, alternate days, three times. Bioassay first.",
        stops=(
            stop(
                "MAXIMUM",
                "Salmon and trout: at most 100 mg/L",
                PEROXIDE_TEXT,
                most=100,
                genera=list(SALMONIDS),
            ),
            stop(
                "MAXIMUM",
                "Finfish other than salmonids: at most 75 mg/L",
                PEROXIDE_TEXT,
                most=75,
                groups=["FISH"],
                not_genera=list(SALMONIDS),
            ),
            stop("MINUTES", "At most 60 min", PEROXIDE_TEXT, most=60),
            stop(
                "SPECIES",
                "Not for northern pike or paddlefish",
                PEROXIDE_TEXT,
                names=["Esox lucius", "Polyodon spathula"],
            ),
            stop("REPEAT", "On alternate days", PEROXIDE_TEXT, least_h=40),
            kills_invertebrates("Peroxide at this strength", MEMORY),
        ),
        cards=("peroxide", "treating", "vet", "discharge"),
        figures={
            "is_bath": True,
            "takes_second": True,
            "takes_trial": True,
            "devices_off": ["OZONE"],
        },
    ),
    AgentValues(
        code="CHLORAMINE_T",
        name="Chloramine-T",
        counted_as="chloramine-T trihydrate",
        forms=CHLORAMINE_T,
        origin=CHLORAMINE_TEXT,
        regime="12-20 mg/L salmonids, 10-20 walleye, 20 warmwater finfish, for 60 min, three times "
        "on consecutive or alternate days.",
        stops=(
            stop("MAXIMUM", "At most 20 mg/L", CHLORAMINE_TEXT, most=20),
            stop("MINUTES", "At most 60 min", CHLORAMINE_TEXT, most=60),
            stop("REPEAT", "Once a day", CHLORAMINE_TEXT, least_h=20),
            kills_invertebrates("Chloramine-T", MEMORY),
        ),
        cards=("chlorine", "treating", "vet", "discharge"),
        figures={
            "low": D(10),
            "high": D(20),
            "is_bath": True,
            "takes_second": True,
            "devices_off": ["CARBON"],
        },
    ),
    AgentValues(
        code="PRAZIQUANTEL",
        name="Praziquantel",
        counted_as="praziquantel",
        forms=PRAZIQUANTEL,
        origin=PRAZIQUANTEL_TEXT,
        regime="Two doses of 2 mg/L four days apart, clear at day 7. Eggs live on; not approved "
        "for fish in the US. The window is 10 % either side: common practice.",
        stops=(stop("REPEAT", "Four days apart", PRAZIQUANTEL_TEXT, least_h=90),),
        cards=("treating", "vet", "discharge"),
        figures={"low": D("1.8"), "high": D("2.2"), "devices_off": ["CARBON", "UV", "OZONE"]},
    ),
    AgentValues(
        code="SODIUM_CHLORIDE",
        name="Sodium chloride",
        counted_as="NaCl",
        forms=TABLE_SALT,
        origin=PRACTICE,
        regime="1-3 g/L for days to weeks in fresh water, raised in steps.",
        stops=(stop("MAXIMUM", "No long bath above 5 g/L", MEMORY, most=5000),),
        cards=("treating", "discharge"),
        figures={"low": D(1000), "high": D(3000), "takes_order": False},
    ),
    AgentValues(
        code="CHLOROQUINE",
        name="Chloroquine diphosphate",
        counted_as="chloroquine diphosphate, the salt as weighed",
        forms=CHLOROQUINE,
        origin=MEMORY,
        regime="10-15 mg/L once, in the dark, for weeks. Only on a veterinarian's order; not "
        "approved. Carbon takes it out.",
        stops=(
            kills_invertebrates("Chloroquine", MEMORY),
            stop("GROUPS", "Chloroquine kills algae and plants", MEMORY, groups=["PLANT"]),
            stop("MAXIMUM", "At most 15 mg/L", MEMORY, most=15),
            stop("REPEAT", "One dose", MEMORY, least_h=160),
        ),
        cards=("treating", "vet", "discharge"),
        figures={
            "low": D(10),
            "high": D(15),
            "clock_days": D(21),
            "takes_second": True,
            "devices_off": ["CARBON", "UV", "OZONE"],
        },
    ),
    AgentValues(
        code="METHYLENE_BLUE",
        name="Methylene blue",
        counted_as="methylene blue",
        forms=METHYLENE_BLUE,
        origin=MEMORY,
        regime="1-3 mg/L, in a bare tank: it stops nitrifiers and stains.",
        stops=(stop("MAXIMUM", "At most 3 mg/L", MEMORY, most=3),),
        cards=("treating", "vet", "discharge"),
        figures={
            "low": D(1),
            "high": D(3),
            "clock_days": D(3),
            "readings_in_row": 1,
            "devices_off": ["CARBON", "UV", "OZONE"],
        },
    ),
)
