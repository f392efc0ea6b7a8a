"""Models point down: facility knows no tank, a tank knows no quarantine."""

import pytest
from django.apps import apps
from django.db.models import ForeignKey, Model
from django.db.models.deletion import PROTECT

ORDER = ["auth", "contenttypes", "sessions", "facility", "tanks", "quarantine"]
OURS = [model for name in ORDER[3:] for model in apps.get_app_config(name).get_models()]


def _floor(model: type[Model]) -> int:
    return ORDER.index(model._meta.app_label)


def test_every_app_with_tables_has_its_place() -> None:
    assert {model._meta.app_label for model in apps.get_models()} == set(ORDER)


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label_lower)
def test_no_relation_points_upward(model: type[Model]) -> None:
    targets = [
        field.related_model
        for field in model._meta.get_fields()
        if field.is_relation and not field.auto_created and isinstance(field.related_model, type)
    ]

    assert [target for target in targets if _floor(target) > _floor(model)] == []


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label_lower)
def test_nothing_is_deleted_along_with_what_it_points_at(model: type[Model]) -> None:
    keys = [field for field in model._meta.concrete_fields if isinstance(field, ForeignKey)]

    assert [key.name for key in keys if key.remote_field.on_delete is not PROTECT] == []


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label_lower)
def test_no_order_is_hidden_in_a_model_and_nothing_happens_on_saving(model: type[Model]) -> None:
    assert not model._meta.ordering
    assert "save" not in vars(model)
    assert "delete" not in vars(model)
