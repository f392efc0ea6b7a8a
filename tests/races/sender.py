"""A process that sends what waits, as a worker does, until it is killed.

Run as ``python -m tests.races.sender`` with DATABASE_URL naming the database.
"""

import time

import django

django.setup()

from facility.jobs import send_notices  # noqa: E402 - apps must be set up first


def main() -> None:
    while True:
        send_notices()
        time.sleep(0.1)


if __name__ == "__main__":
    main()
