from importlib import import_module

from django.apps import AppConfig


class FacilityConfig(AppConfig):
    name = "facility"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        import_module("facility.contributions")
