"""Which facts are now held true, where corrected and withdrawn rows were loaded along."""

from collections.abc import Iterable
from typing import TypeVar

from facility.models import Fact

FactT = TypeVar("FactT", bound=Fact)


def is_standing(fact: Fact) -> bool:
    """Tell whether the fact is now held true; its correction must have been loaded with it."""
    return not fact.withdrawn and getattr(fact, "correction", None) is None


def standing(facts: Iterable[FactT]) -> list[FactT]:
    return [fact for fact in facts if is_standing(fact)]
