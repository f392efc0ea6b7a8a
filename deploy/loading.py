"""Bring the database and the static files up to date and load the demo, in one process."""

import os
import sys
from io import StringIO

import django
from django.core.management import call_command
from django.core.wsgi import get_wsgi_application


def main(address: str) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "deploy.settings")
    django.setup()
    call_command("collectstatic", interactive=False, verbosity=0)
    # What would stop the web workers, over and over, stops us here and once.
    get_wsgi_application()
    call_command("check", stdout=StringIO())
    call_command("migrate", interactive=False, verbosity=0)
    call_command("demo", address=address)


if __name__ == "__main__":
    main(sys.argv[1])
