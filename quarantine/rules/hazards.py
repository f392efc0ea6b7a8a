"""Hazard and caution cards, shown where the act happens; local codes and the vet come first.

What the law says of the safety of people are legal minimums, not safe levels.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final

from tanks.rules.defaults import Origin

_READ_ON: Final = date(2026, 11, 25)
_PRACTICE: Final = Origin(source="usual cautions of the trade, no source")
_MEMORY: Final = Origin(source="from memory")
_FORMALDEHYDE: Final = Origin(
    source="29 CFR 1910.1048 (b)-(h)",
    edition="2015 annual edition",
    jurisdiction="US",
    verified_on=_READ_ON,
    verified_by="the authors, in the published text of that edition",
)
_COPPER: Final = Origin(
    source="UF/IFAS FA165, Use of copper in marine aquaculture and aquarium systems, introduction",
    verified_on=_READ_ON,
    verified_by="the authors, in the publisher's page",
)
_VET: Final = Origin(
    source="21 CFR 530.1, 530.30",
    edition="2015 annual edition",
    jurisdiction="US",
    verified_on=_READ_ON,
    verified_by="the authors, in the published text of that edition",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """``acts`` are the ledger kinds of acts it is shown at, besides the agents that name it."""

    code: str
    title: str
    text: str
    origin: Origin
    acts: frozenset[str] = frozenset()


def cards_named(codes: Iterable[str]) -> tuple[Card, ...]:
    """Return the cards in the order they stand here."""
    wanted = set(codes)
    return tuple(card for card in CARDS if card.code in wanted)


def cards_at(act: str) -> tuple[Card, ...]:
    return tuple(card for card in CARDS if act in card.acts)


_TREATS: Final = frozenset(
    {"quarantine.open-course", "quarantine.give-dose", "quarantine.order-treatment"}
)
CARDS: Final = (
    Card(
        code="vet",
        title="A licensed veterinarian decides",
        text="Penstock records and calculates; it does not diagnose, prescribe or license. "
        "Medicines, extra-label use and medicated feed need a licensed veterinarian; many agents "
        "are not approved somewhere. Local law overrides every default.",
        origin=_VET,
        acts=_TREATS,
    ),
    Card(
        code="treating",
        title="Treated water holds less oxygen",
        text="Aerate, watch without leaving, test a few animals first, keep clean water ready.",
        origin=_PRACTICE,
    ),
    Card(
        code="formaldehyde",
        title="Formaldehyde",
        text="Causes cancer and allergy, and is a poison. Ventilate; gloves and goggles; no skin "
        "or eye contact with liquid of 1 % or more. Air: 0.75 ppm over 8 h and 2 ppm over 15 min "
        "at most, action from 0.5 ppm. Never use stock with a white precipitate: cold spoilt it.",
        origin=_FORMALDEHYDE,
    ),
    Card(
        code="copper",
        title="Copper stays",
        text="Lethal to most invertebrates, harmful to some fish. Rock, gravel and silicone bind "
        "it and give it back when pH falls: what held copper is not for invertebrates again.",
        origin=_COPPER,
    ),
    Card(
        code="chlorine",
        title="Chlorine",
        text="With acid or ammonia it makes poisonous gas. Label every bottle.",
        origin=_PRACTICE,
    ),
    Card(
        code="peroxide",
        title="Peroxide burns",
        text="Gloves and eye protection; vented bottle; away from anything that burns.",
        origin=_PRACTICE,
    ),
    Card(
        code="discharge",
        title="Where the water goes",
        text="Never release animals, plants or tank water. Discharge of medicated water is "
        "regulated: ask before the first litre goes down the drain.",
        origin=_MEMORY,
    ),
    Card(
        code="zoonoses",
        title="What fish can give you",
        text="Mycobacterium marinum, Vibrio, Salmonella: gloves, cover cuts, never start a siphon "
        "by mouth; tell your doctor that you work with fish.",
        origin=_MEMORY,
        acts=frozenset({"quarantine.log-death", "quarantine.log-necropsy"}),
    ),
    Card(
        code="notifiable",
        title="Notifiable disease",
        text="Where one is suspected: stop movements and call the authority. No release, sale or "
        "discharge meanwhile.",
        origin=_MEMORY,
        acts=frozenset({"quarantine.log-finding", "quarantine.log-death"}),
    ),
    Card(
        code="euthanasia",
        title="Killing an animal",
        text="Only by a lawful method and trained hands; carcasses by local rules.",
        origin=_PRACTICE,
        acts=frozenset({"quarantine.log-death"}),
    ),
    Card(
        code="negative",
        title="A negative test",
        text="It never proves freedom; small tanks often cannot reach 95 %. A tank that looks sick "
        "stays closed whatever the number says.",
        origin=_PRACTICE,
        acts=frozenset({"quarantine.survey", "quarantine.log-finding"}),
    ),
    Card(
        code="days",
        title="Days from a table",
        text="They hold for the temperature that was read and with no new animals in the same "
        "water.",
        origin=_PRACTICE,
        acts=frozenset({"quarantine.release-lot"}),
    ),
    Card(
        code="labels",
        title="Look at the animals too",
        text="A printed code can be swapped: compare code and animals. Wet floors, electricity, "
        "lifting. Alarms fail: walk the tanks every day.",
        origin=_PRACTICE,
        acts=frozenset({"quarantine.receive-box"}),
    ),
)
