from django.apps import AppConfig

from facility.sockets.menu import MenuEntry, menu


class DeployConfig(AppConfig):
    name = "deploy"

    def ready(self) -> None:
        # Makes our Celery app the current one in every process, so that web workers can enqueue.
        import deploy.celery  # noqa: F401, PLC0415 - the settings must be read before it

        menu.plug(
            MenuEntry(name="deploy.trust", label="Trust on phones", url_name="trust", order=95)
        )
