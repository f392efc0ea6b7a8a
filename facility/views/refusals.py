"""A refusal, put where the person who filled in the sheet will see it."""

from django.forms import Form

from facility.refusals import Refusal


def show(refusal: Refusal, *, on: Form) -> None:
    """Add the refusal's sentence to its field, or to the whole sheet if it has no such field."""
    shown = {field.name for field in on.visible_fields()}
    names = (refusal.field, refusal.field.removesuffix("_id"))
    on.add_error(next((name for name in names if name in shown), None), refusal.sentence)
