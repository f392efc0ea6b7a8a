from importlib import import_module

from django.apps import AppConfig


class QuarantineConfig(AppConfig):
    name = "quarantine"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        import_module("quarantine.contributions")
