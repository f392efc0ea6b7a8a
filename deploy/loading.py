"""Bring the database and the static files up to date and load the demo, in one process."""

from django.core.management import call_command

# Sets Django up as the web workers do: what stops them stops us here, once and before serving.
from deploy.wsgi import application  # noqa: F401 - imported for what it proves


def main() -> None:
    call_command("migrate", interactive=False, verbosity=0)
    call_command("collectstatic", interactive=False, verbosity=0)
    call_command("demo")


if __name__ == "__main__":
    main()
