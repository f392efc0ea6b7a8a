"""What an agent and a stop are as data, and the texts their figures come from."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any, Final

from quarantine.rules.agent_forms import Form
from tanks.rules.defaults import Origin

INVERTEBRATES: Final = ("CRUSTACEAN", "MOLLUSC", "CORAL", "OTHER_INVERTEBRATE")
SALMONIDS: Final = ("Oncorhynchus", "Salmo", "Salvelinus", "Thymallus", "Coregonus", "Hucho")
_READ_ON: Final = date(2026, 11, 25)


def _cfr(section: str, edition: str = "2015 annual edition") -> Origin:
    return Origin(
        source=f"21 CFR {section}",
        edition=edition,
        jurisdiction="US",
        verified_on=_READ_ON,
        verified_by="the authors, in the published text of that edition",
    )


MEMORY: Final = Origin(source="from memory, unverified")
FORMALIN_TEXT: Final = _cfr("529.1030")
PEROXIDE_TEXT: Final = _cfr("529.1150")
CHLORAMINE_TEXT: Final = _cfr("529.382", "December 2023")
COPPER_EFFECTS_TEXT: Final = Origin(
    source="UF/IFAS FA165, Use of copper in marine aquaculture and aquarium systems, introduction",
    verified_on=_READ_ON,
    verified_by="the authors, in the publisher's page",
)
COPPER_WINDOW_TEXT: Final = Origin(
    source="0.15-0.20 mg/L free copper, as fish-health pages of the trade print it; the "
    "extension text's own figure was not seen"
)
PRAZIQUANTEL_TEXT: Final = Origin(
    source="Two baths of 2 mg/L four days apart, Rev. Bras. Parasitol. Vet. 2019",
    verified_on=_READ_ON,
    verified_by="the authors, in the journal's page",
)
PONDS_TEXT: Final = Origin(
    source="21 CFR 529.1030 says it of ponds; taken for every bath by common practice",
    edition="2015 annual edition",
    jurisdiction="US",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class StopValues:
    """One stop: its kind, figures and sentence as in AgentStop."""

    kind: str
    figures: dict[str, Any]
    sentence: str
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class AgentValues:
    """An agent as in Agent, with its stops and the forms it is sold in."""

    code: str
    name: str
    counted_as: str
    unit: str = "mg/L"
    forms: tuple[Form, ...]
    origin: Origin
    regime: str
    stops: tuple[StopValues, ...]
    cards: tuple[str, ...]
    figures: dict[str, Any] = field(default_factory=dict)


def stop(kind: str, sentence: str, origin: Origin, **figures: Any) -> StopValues:
    return StopValues(kind=kind, figures=figures, sentence=sentence, origin=origin)


def kills_invertebrates(name: str, origin: Origin) -> StopValues:
    sentence = f"{name} kills most invertebrates"
    return stop("GROUPS", sentence, origin, groups=list(INVERTEBRATES))
