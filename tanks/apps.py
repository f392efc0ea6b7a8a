from importlib import import_module

from django.apps import AppConfig


class TanksConfig(AppConfig):
    name = "tanks"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        import_module("tanks.contributions")
