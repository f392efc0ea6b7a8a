"""A rule said no: a code for machines, a field to mend, a sentence for people."""

from typing import ClassVar


class Refusal(Exception):  # noqa: N818  a refusal is an answer, not an error
    """Raised by commands; translated once by each interface, never logged as an error.

    Where it is only a question, the same command with ``asks`` in its ``confirmed`` is accepted.
    """

    code: ClassVar[str] = "refused"
    field: str = ""
    asks: tuple[str, ...] = ()

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class NotAllowed(Refusal):
    code = "not-allowed"


class NotFound(Refusal):
    """What the command names does not exist, or this person may not see it."""

    code = "not-found"


class IdTaken(Refusal):
    code = "id-taken"
    field = "id"
