"""What is only unlikely is asked about once, and said so in the ledger."""

from collections.abc import Collection

from facility.refusals import Refusal


class AskedOnce(Refusal):
    """The same command with this code in ``confirmed`` is accepted."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.asks = (self.code,)


def ask(question: AskedOnce, *, confirmed: Collection[str]) -> None:
    """Raise the question unless the person has answered it."""
    if question.code not in confirmed:
        raise question
