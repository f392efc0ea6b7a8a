"""A process that logs readings without end and says each id once its command has returned.

Run as ``python -m tests.races.writer`` with DATABASE_URL naming an empty database.
"""

import django

django.setup()

from django.core.management import call_command  # noqa: E402 - apps must be set up first

from facility.sockets.aftermath import nothing_follows  # noqa: E402
from tanks.commands.readings import log_readings  # noqa: E402
from tests.cast import NOON, build_house  # noqa: E402
from tests.tanks.estate import vessel_of  # noqa: E402
from tests.tanks.samples import kit, sample, taken  # noqa: E402


def main() -> None:
    call_command("migrate", verbosity=0)
    house = build_house()
    vessel, method = vessel_of(house), kit(house, "TAN")
    with nothing_follows():
        while True:
            command = sample(vessel, taken(method, "0.5"))
            (row,) = log_readings(command, by=house.ana, at=NOON)
            print(row.pk, flush=True)  # noqa: T201 - the test reads what was said


if __name__ == "__main__":
    main()
