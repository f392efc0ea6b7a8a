"""What every sheet of the house has in common; templates draw it with ``facility/_form.html``."""

from collections.abc import Iterator
from datetime import date
from typing import Any, ClassVar, Final
from uuid import uuid4

from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.forms import (
    BoundField,
    ChoiceField,
    DateField,
    DateTimeField,
    DateTimeInput,
    Field,
    Form,
    HiddenInput,
    ModelChoiceField,
    RadioSelect,
    UUIDField,
)
from django.forms.renderers import DjangoTemplates

from facility.rules.calendar import OFF_CALENDAR, is_on_calendar

_FILL_IN: Final = "Fill this in."
_PLAINER: Final = {
    Field.default_error_messages["required"]: _FILL_IN,
    ChoiceField.default_error_messages["invalid_choice"]: "Choose one of the answers offered.",
    ModelChoiceField.default_error_messages["invalid_choice"]: "Choose one of the answers offered.",
}


class SheetRenderer(DjangoTemplates):
    form_template_name = "facility/_rows.html"
    field_template_name = "facility/_field.html"


class Sheet(Form):
    """A form whose fields named in ``rare`` stand folded away below the others."""

    default_renderer = SheetRenderer
    rare: ClassVar[tuple[str, ...]] = ()
    rare_title: ClassVar[str] = "More"
    problem_title: ClassVar[str] = "Not recorded yet"

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **{"label_suffix": ""} | options)
        for field in self.fields.values():
            _speak_plainly(field)

    def offer(self, name: str, rows: QuerySet[Any]) -> None:
        """Let the field ``name`` choose among ``rows``."""
        field = self.fields[name]
        if isinstance(field, ModelChoiceField):
            field.queryset = rows

    def rare_fields(self) -> Iterator[BoundField]:
        return (self[name] for name in self.rare)

    def rare_is_open(self) -> bool:
        """A folded field that is wrong must not stay hidden."""
        return any(name in self.errors for name in self.rare)


class CommandSheet(Sheet):
    """A sheet for one command; its id is made when the sheet is, so sent twice is recorded once."""

    id = UUIDField(
        widget=HiddenInput,
        initial=uuid4,
        error_messages=dict.fromkeys(
            ("required", "invalid"), "Load this page again: the sheet has lost its own number."
        ),
    )


class Segmented(RadioSelect):
    """A few answers as big buttons side by side."""

    option_inherits_attrs = False

    def __init__(self, attrs: dict[str, Any] | None = None, choices: Any = ()) -> None:
        super().__init__({"class": "segmented"} | (attrs or {}), choices)


class WallClockField(DateTimeField):
    """A moment by the clock now active, the site's, to the minute; kept with its zone."""

    def __init__(self, **options: Any) -> None:
        clock = DateTimeInput({"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
        super().__init__(**{"widget": clock} | options)
        self.error_messages["invalid"] = "Write a date and time, such as 2026-11-25 14:30."

    def to_python(self, value: Any) -> Any:
        moment = super().to_python(value)
        _require_calendar(moment)
        return moment


class CalendarField(DateField):
    """A day within living memory."""

    def to_python(self, value: Any) -> Any:
        day = super().to_python(value)
        _require_calendar(day)
        return day


def _require_calendar(moment: date | None) -> None:
    if moment is not None and not is_on_calendar(moment.year):
        raise ValidationError(OFF_CALENDAR, code="off-calendar")


def _speak_plainly(field: Field) -> None:
    for code, sentence in field.error_messages.items():
        field.error_messages[code] = _PLAINER.get(sentence, sentence)
    if isinstance(field, ChoiceField) and field.error_messages["required"] == _FILL_IN:
        field.error_messages["required"] = "Choose one."
