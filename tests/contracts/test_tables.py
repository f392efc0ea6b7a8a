"""What was written stays: asked of the database itself, around the code.

Every table of ours is in one of the three lists below; a new one without triggers fails here.
"""

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, transaction
from django.db.models import Model

from facility.models import Document, Entry, Fact, KeptReport, Pin, Sent
from tanks.models import Forecast

OURS = [
    model
    for model in apps.get_models()
    if model._meta.app_label in {"facility", "tanks", "quarantine"}
]
_KEPT = {Document, Entry, Forecast, KeptReport, Pin, Sent}
APPEND_ONLY = [model for model in OURS if issubclass(model, Fact) or model in _KEPT]
CHANGEABLE = [model for model in OURS if model not in APPEND_ONLY]


@pytest.mark.django_db
@pytest.mark.parametrize("does", ["UPDATE {} SET id = id", "DELETE FROM {}", "TRUNCATE {} CASCADE"])
@pytest.mark.parametrize("model", APPEND_ONLY, ids=lambda model: model._meta.label_lower)
def test_what_was_written_is_never_changed_or_deleted(model: type[Model], does: str) -> None:
    _refused(does, of=model._meta.db_table)


@pytest.mark.django_db
@pytest.mark.parametrize("does", ["DELETE FROM {}", "TRUNCATE {} CASCADE"])
@pytest.mark.parametrize("model", CHANGEABLE, ids=lambda model: model._meta.label_lower)
def test_what_others_point_at_is_never_deleted(model: type[Model], does: str) -> None:
    _refused(does, of=model._meta.db_table)


@pytest.mark.django_db
def test_the_refusal_names_what_to_do_instead() -> None:
    with pytest.raises(IntegrityError, match="record a correction instead"), transaction.atomic():
        _ask("DELETE FROM tanks_reading")


def _refused(does: str, *, of: str) -> None:
    """By the table itself, not by one that points at it and would go with it."""
    _ask("SET CONSTRAINTS ALL IMMEDIATE")
    with pytest.raises(IntegrityError, match=f"{of} keeps what was written"), transaction.atomic():
        _ask(does.format(of))


def _ask(sql: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(sql)
