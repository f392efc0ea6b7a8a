"""A target that cannot be reached, told beside the ask that names it."""

from collections.abc import Iterator
from contextlib import contextmanager

from chemistry.calculator.terms import Unsolved
from chemistry.dilution import Unreachable


@contextmanager
def reaching(field: str) -> Iterator[None]:
    """Turn what a formula says of an unreachable target into a sentence beside ``field``.

    Raises:
        Unsolved
    """
    try:
        yield
    except Unreachable as fault:
        raise Unsolved(str(fault), field=field) from fault
