from django.apps import AppConfig


class DeployConfig(AppConfig):
    name = "deploy"

    def ready(self) -> None:
        # Makes our Celery app the current one in every process, so that web workers can enqueue.
        import deploy.celery  # noqa: F401, PLC0415 - the settings must be read before it
