"""The sheet on which the rounds of a day are drawn up."""

from dataclasses import dataclass
from datetime import date
from typing import Any, Final
from uuid import UUID

from django.core.exceptions import ValidationError
from django.forms import CharField

from facility.commands.rounds import DrawUpRounds, RoundDrawn, StopDrawn
from facility.forms.sheets import CommandSheet
from facility.models import Site
from facility.queries.drafts import Draft, wishes_in
from facility.rules.assignment import Wish, given, kept, nudged

PROPOSE, SAVE = "propose", "save"
_GIVE: Final = "give:"


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the sheet said: the draft in its order, what is picked, and the button pressed."""

    wishes: list[Wish]
    picked: frozenset[str]
    do: str

    def changed(self) -> list[Wish]:
        """The draft as the button would have it."""
        match self.do:
            case "earlier" | "later":
                return nudged(self.wishes, self.picked, is_earlier=self.do == "earlier")
            case "keep" | "release":
                return kept(self.wishes, self.picked, is_fixed=self.do == "keep")
            case str() if self.do.startswith(_GIVE):
                return given(self.wishes, self.picked, self.do.removeprefix(_GIVE))
        return self.wishes


class DraftSheet(CommandSheet):
    """``stops`` holds every task, ``<task>:<person>:<fixed>``, in the order of the page.

    It is one field however many there are: a server takes only so many fields of a sheet.
    """

    problem_title = "Not saved yet"
    do = CharField(required=False)
    stops = CharField(required=False)

    def clean(self) -> dict[str, Any]:
        told = super().clean() or self.cleaned_data
        try:
            told["wishes"] = [_wish(text) for text in told.get("stops", "").split()]
        except ValueError as error:
            raise ValidationError("Load this page again: the draft has lost its order.") from error
        return told

    def told(self) -> Told:
        return Told(
            wishes=self.cleaned_data["wishes"],
            picked=frozenset(self._picked()),
            do=self.cleaned_data["do"],
        )

    def command(self, site: Site, on: date, draft: Draft) -> DrawUpRounds:
        return DrawUpRounds(
            id=self.cleaned_data["id"],
            site_id=site.pk,
            on=on,
            rounds=tuple(
                RoundDrawn(
                    person_id=column.person.pk,
                    stops=tuple(
                        StopDrawn(task_id=stop.one.task.pk, is_fixed=stop.is_fixed)
                        for stop in column.stops
                    ),
                )
                for column in draft.columns
            ),
        )

    def _picked(self) -> list[str]:
        # What a QueryDict holds many times; a plain mapping has none of it.
        many = getattr(self.data, "getlist", None)
        return many("picked") if many else []


def stops_of(draft: Draft) -> str:
    """The draft as the field ``stops`` says it."""
    return " ".join(f"{w.task}:{w.person}:{int(w.is_fixed)}" for w in wishes_in(draft))


def _wish(text: str) -> Wish:
    task, person, fixed = text.split(":")
    return Wish(
        task=str(UUID(task)), person=str(UUID(person)) if person else "", is_fixed=fixed == "1"
    )
