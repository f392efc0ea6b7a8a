"""May animals enter this water? Every requirement, all at once; doubt keeps the gate shut.

Which requirements there are is common practice, no source; every figure in them is the
site's own policy or limit. Only facts open the gate: time alone never turns anything to met.
"""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from quarantine.rules.biofilter import biofilter
from quarantine.rules.conditions import near_stocking
from quarantine.rules.known import Known
from quarantine.rules.readings import read
from quarantine.rules.settled import settled
from tanks.rules.requirements import MET, UNKNOWN, Requirement, all_met


def requirements(known: Known, at: datetime) -> list[Requirement]:
    """Return every condition for letting animals in, each judged with its evidence."""
    return [*biofilter(known, at), near_stocking(known), *read(known, at), *settled(known)]


def opens(found: Iterable[Requirement]) -> bool:
    return all_met(found)


def answer(found: Iterable[Requirement]) -> str:
    """Say the whole in one sentence: how many are met, not met and unknown."""
    found = list(found)
    if all_met(found):
        return f"Yes: all {len(found)} requirements are met."
    states = [requirement.state for requirement in found]
    unknown = states.count(UNKNOWN)
    failing = len(states) - states.count(MET) - unknown
    told = f"{failing} of {len(states)} requirements {'is' if failing == 1 else 'are'} not met"
    return f"Not yet: {told}, {unknown} unknown."


def hindrances(found: Iterable[Requirement]) -> list[str]:
    """Return a sentence for each requirement that keeps the gate shut."""
    return [
        f"{requirement.title}: {requirement.sentence}"
        for requirement in found
        if requirement.state != MET
    ]


def takes_two(*, readers: Iterable[UUID], signer: UUID, admits: UUID) -> bool:
    """Tell whether more than one person stands behind the proof and the opened gate.

    Misuse must need the collaboration of two people: 21 CFR 11.200(a)(3).
    """
    return len({*readers, signer, admits}) > 1
