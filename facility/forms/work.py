"""The sheet a task is answered on."""

from typing import Any, Final

from django.core.exceptions import ValidationError
from django.forms import CharField, ChoiceField, HiddenInput, UUIDField
from django.utils import timezone

from facility.commands.answers import AnswerTask
from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from facility.models import Completion, Task
from facility.rules.tasks import WHY_NOT

_LONGEST: Final = 300


class AnswerSheet(CommandSheet):
    """Its two buttons carry the outcome; a reason is one tap, own words, or both."""

    outcome = ChoiceField(choices=Completion.Outcome.choices, widget=HiddenInput)
    corrects_id = UUIDField(widget=HiddenInput, required=False)
    reason = CharField(
        max_length=_LONGEST, required=False, label="Why is the earlier answer changed?"
    )
    why = ChoiceField(
        choices=[(each, each) for each in WHY_NOT],
        widget=Segmented(),
        required=False,
        label="Why not?",
    )
    words = CharField(max_length=200, required=False, label="In your own words")
    happened_at = WallClockField(required=False, label="When", help_text="Leave empty for now.")

    def clean(self) -> dict[str, Any]:
        told = super().clean() or {}
        outcome, has_words = told.get("outcome"), bool(told.get("why") or told.get("words"))
        if outcome == Completion.Outcome.DONE and has_words:
            self.add_error("why", ValidationError("Clear the reason, or press Not done."))
        if outcome == Completion.Outcome.NOT_DONE and not has_words:
            self.add_error("why", ValidationError("Tap a reason, or write your own."))
        return told

    @staticmethod
    def why_not(told: dict[str, Any]) -> str:
        if told.get("outcome") == Completion.Outcome.DONE:
            return ""
        return ": ".join(part for part in (told.get("why"), told.get("words")) if part)

    def command(self, task: Task) -> AnswerTask:
        told = self.cleaned_data
        return AnswerTask(
            id=told["id"],
            task_id=task.pk,
            outcome=told["outcome"],
            why_not=self.why_not(told),
            happened_at=told["happened_at"] or timezone.now(),
            corrects_id=told["corrects_id"],
            reason=told["reason"],
        )
