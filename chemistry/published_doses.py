"""What has been printed about treatment baths: data to read an order against, never advice.

Sources contradict each other and strains differ; a figure stands here because it was printed.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final


class Agent(StrEnum):
    COPPER = "copper"
    FORMALIN = "formalin"
    PRAZIQUANTEL = "praziquantel"
    HYPOSALINITY = "low salinity"
    CHLOROQUINE = "chloroquine"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A printed figure; ``basis`` says what is counted, ``where`` which water and how long."""

    agent: Agent
    low: float
    high: float
    unit: str
    basis: str
    where: str
    source: str
    mark: str


def _figure(
    agent: Agent, amounts: tuple[float, float], basis: str, where: str, source: str, mark: str
) -> Figure:
    unit = {Agent.FORMALIN: "µL/L", Agent.HYPOSALINITY: "g/kg"}.get(agent, "mg/L")
    return Figure(
        agent=agent,
        low=amounts[0],
        high=amounts[1],
        unit="mg/L" if basis.startswith("formalin solution, printed in mg/L") else unit,
        basis=basis,
        where=where,
        source=source,
        mark=mark,
    )


_MG_FORMALIN: Final = "formalin solution, printed in mg/L"
_VM77: Final = "UF/IFAS VM-77, summary page of an archived copy"
_LABEL: Final = "veterinary manual, table of approved drugs"

FIGURES: Final = (
    _figure(
        Agent.COPPER,
        (0.18, 0.20),
        "free copper, Cu",
        "sea water, up to 3 weeks, tested throughout, no invertebrates or plants",
        "study cards summarising a veterinary manual",
        "found",
    ),
    _figure(
        Agent.COPPER,
        (0.15, 0.20),
        "free copper, Cu",
        "sea water",
        "UF/IFAS FA165 (publication found, numbers from memory)",
        "memory",
    ),
    _figure(
        Agent.COPPER,
        (0.1, 0.2),
        "copper, Cu",
        "5 to 35 g/kg; citrated or chelated above 5",
        "extension-derived page on tilapia",
        "found",
    ),
    _figure(
        Agent.COPPER,
        (0.2, 0.4),
        "copper sulfate",
        "10 days, pompano against Amyloodinium; tomonts still divided in 100",
        "abstract, 10.12131/20200260",
        "found",
    ),
    _figure(
        Agent.COPPER,
        (0.5, 2.5),
        "copper sulfate pentahydrate, alkalinity as CaCO3 / 100",
        "fresh water; not at all below 50 mg/L CaCO3",
        "UF/IFAS FA008",
        "found",
    ),
    _figure(Agent.FORMALIN, (250, 250), _MG_FORMALIN, "at most 60 min", _VM77, "found"),
    _figure(Agent.FORMALIN, (150, 150), _MG_FORMALIN, "at most 60 min above 21 °C", _VM77, "found"),
    _figure(Agent.FORMALIN, (15, 25), _MG_FORMALIN, "prolonged bath", _VM77, "found"),
    _figure(
        Agent.FORMALIN,
        (167, 167),
        _MG_FORMALIN,
        "at most 1 h above 22 °C",
        "extension-derived page on tilapia",
        "found",
    ),
    _figure(
        Agent.FORMALIN,
        (170, 170),
        "formalin solution by volume",
        "salmon and trout above 10 °C, at most 1 h",
        _LABEL,
        "found",
    ),
    _figure(
        Agent.FORMALIN,
        (250, 250),
        "formalin solution by volume",
        "salmon and trout below 10 °C and other finfish, at most 1 h",
        _LABEL,
        "found",
    ),
    _figure(
        Agent.PRAZIQUANTEL,
        (2, 2),
        "praziquantel",
        "two baths four days apart, Neobenedenia on reef fish",
        "abstract, Rev. Bras. Parasitol. Vet. 2019",
        "found",
    ),
    _figure(
        Agent.PRAZIQUANTEL,
        (10, 10),
        "praziquantel",
        "48 h, adult Lepidotrema; juveniles survived",
        "abstract, J. Fish Dis. jfd.12089",
        "found",
    ),
    _figure(
        Agent.PRAZIQUANTEL,
        (20, 20),
        "praziquantel",
        "two 2-hour baths failed on shovelnose rays",
        "Chisholm & Whittington 2002, J. Aquat. Anim. Health 14:230",
        "found",
    ),
    _figure(
        Agent.HYPOSALINITY,
        (0, 16),
        "practical salinity",
        "Cryptocaryon tomonts ruptured",
        "Cheung, Nigrelli & Ruggieri 1979, J. Fish Dis. 2:93",
        "found",
    ),
    _figure(
        Agent.HYPOSALINITY,
        (0, 10),
        "practical salinity",
        "Cryptocaryon: four 3-hour exposures three days apart; 20 did not kill",
        "Colorni 1985, Dis. Aquat. Org. 1:19",
        "found",
    ),
    _figure(
        Agent.HYPOSALINITY,
        (5, 45),
        "practical salinity",
        "a strain whose tomonts divided and hatched throughout",
        "abstract of 2022, Larimichthys crocea strain",
        "found",
    ),
    _figure(
        Agent.CHLOROQUINE,
        (5, 15),
        "chloroquine diphosphate",
        "prolonged bath against Amyloodinium and Cryptocaryon; no reviewed page found",
        "commonly quoted",
        "memory",
    ),
)


def figures_of(agent: Agent) -> tuple[Figure, ...]:
    return tuple(figure for figure in FIGURES if figure.agent is agent)
