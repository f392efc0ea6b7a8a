"""What a record is asked for, by jurisdiction: data, each line with its source. Pure.

``is_verified`` is False where only the heading, or a second hand's summary, was seen.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

REGISTER: Final = "register"
MOVEMENTS: Final = "movements"
TREATMENTS: Final = "treatments"
QUARANTINE_SET: Final = "quarantine-set"
TITLES: Final = {
    REGISTER: "Register of animals by group",
    MOVEMENTS: "Movement record",
    TREATMENTS: "Treatment record",
    QUARANTINE_SET: "Quarantine record set",
}
SAYS: Final = {
    REGISTER: "For each group: supplier, sex, treatment, acquired, sold, died.",
    MOVEMENTS: "In, out and within, each line with its count and its papers.",
    TREATMENTS: "For each course: drug, condition, species, dosage, duration, number, withdrawal.",
    QUARANTINE_SET: "Approval, movements, tests, post-mortems and evidence of biosecurity.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """``jurisdiction`` is a prefix of a site's: GB-ENG, GB, US, EU. ``years`` it is to be kept."""

    record: str
    jurisdiction: str
    text: str
    source: str
    years: int | None
    is_verified: bool


NOTES: Final = (
    Note(
        record=REGISTER,
        jurisdiction="GB-ENG",
        text=(
            "For all animals, or for fish all groups of fish: full name of the supplier; sex, "
            "where known; age, except of fish; veterinary treatment, where known; date of birth or "
            "of acquisition; date of sale; date of death. An animal under treatment is marked in "
            "writing and must not be sold."
        ),
        source="SI 2018/486, Schedule 3, paragraph 2(1) and (2)",
        years=None,
        is_verified=True,
    ),
    Note(
        record=REGISTER,
        jurisdiction="GB-ENG",
        text="Records are kept for 3 years from the day they were made.",
        source="SI 2018/486, Schedule 2, paragraph 2, by a council's checklist",
        years=3,
        is_verified=False,
    ),
    Note(
        record=REGISTER,
        jurisdiction="GB-SCT",
        text=(
            "As in England, with any microchip; fish or other animals kept in groups by group. "
            "Kept 3 years."
        ),
        source="SSI 2021/84, guidance for pet sellers, Annex B, paragraph 2",
        years=3,
        is_verified=True,
    ),
    Note(
        record=TREATMENTS,
        jurisdiction="US",
        text=(
            "Extra-label use: drug and active ingredient; condition; species; dosage; duration; "
            "number treated; withdrawal. Kept 2 years, or longer where other law says so; legible "
            "and promptly retrievable."
        ),
        source="21 CFR 530.5",
        years=2,
        is_verified=True,
    ),
    Note(
        record=QUARANTINE_SET,
        jurisdiction="EU",
        text=(
            "Approved quarantine establishments: approval number; movements in, with the number or "
            "wild habitat of origin, and out, with the destination; names and addresses of "
            "transporters; results of surveillance; clinical, laboratory and post-mortem results; "
            "instructions of the authority; the biosecurity plan and evidence that it was done."
        ),
        source="Delegated Regulation (EU) 2020/691, Article 30",
        years=None,
        is_verified=True,
    ),
    Note(
        record=MOVEMENTS,
        jurisdiction="EU",
        text="Movements with their documents are kept for at least 3 years.",
        source="Regulation (EU) 2016/429, Article 186; contents from memory, unverified",
        years=3,
        is_verified=False,
    ),
    Note(
        record=MOVEMENTS,
        jurisdiction="CA",
        text="Movements inside the unit are recorded as strictly as in and out.",
        source="CFIA, Appendix C",
        years=None,
        is_verified=True,
    ),
)
# Site jurisdictions are countries or their parts; these are members of the European Union.
_MEMBERS: Final = "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK"
_EU: Final = frozenset(_MEMBERS.split())


def notes_for(record: str, jurisdiction: str) -> list[Note]:
    """Return what is asked for where the site is; nothing elsewhere is duty here."""
    return [one for one in _of(record) if _holds(one.jurisdiction, jurisdiction)]


def notes_elsewhere(record: str, jurisdiction: str) -> list[Note]:
    return [one for one in _of(record) if not _holds(one.jurisdiction, jurisdiction)]


def _of(record: str) -> Iterable[Note]:
    return (one for one in NOTES if one.record == record)


def _holds(asked: str, jurisdiction: str) -> bool:
    country = jurisdiction.partition("-")[0]
    return jurisdiction.startswith(asked) or (asked == "EU" and country in _EU)
