"""A sheet that may be asked back once: the questions stand on it as boxes to tick."""

from collections.abc import Callable, Iterator
from hashlib import sha256
from typing import Any, ClassVar, TypeVar

from facility.forms.sheets import CommandSheet
from facility.refusals import Refusal
from tanks.commands.confirming import AskedOnce

Row = TypeVar("Row")
_SEAL: int = 12


class AskingSheet(CommandSheet):
    """``sealed`` names the fields an answer speaks of: once they change, it is asked anew.

    ``questions`` are the boxes to tick: each value fits only what was typed when it was asked.
    """

    sealed: ClassVar[tuple[str, ...]] = ()

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.questions: list[str] = []

    def confirmed(self) -> frozenset[str]:
        """Return the codes of the questions answered with yes."""
        return frozenset(value.partition("|")[0] for value in self._ticked())

    def answered(self) -> Iterator[str]:
        """Yield the ticks of earlier rounds, to be sent along."""
        return (value for value in self._ticked() if value not in self.questions)

    def giving(self, give: Callable[..., Row]) -> Callable[..., Row]:
        """Wrap a command so that its question comes onto the sheet with its box."""

        def asking(command: Any, **edge: Any) -> Row:
            try:
                return give(command, **edge)
            except AskedOnce as question:
                self._ask(question)
                raise

        return asking

    def _ask(self, question: Refusal) -> None:
        self.questions.append(f"{question.code}|{self._seal()}")

    def _ticked(self) -> list[str]:
        boxes = self.data.getlist("confirmed") if hasattr(self.data, "getlist") else []
        return [value for value in boxes if value.endswith(f"|{self._seal()}")]

    def _seal(self) -> str:
        typed = "\n".join(str(self.data.get(name, "")).strip() for name in self.sealed)
        return sha256(typed.encode()).hexdigest()[:_SEAL]
