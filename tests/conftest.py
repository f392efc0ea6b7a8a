"""Real servers for the tests that ask for a database; a browser's loop may wait for the ORM."""

import os
from collections.abc import Iterator
from typing import Any

import pytest
from django.conf import settings
from django.db.backends.postgresql.operations import DatabaseOperations
from hypothesis import settings as property_checks

from deploy import addresses, servers
from deploy.addresses import Addresses
from deploy.celery import app

pytest_plugins = ["tests.cast"]

# Playwright runs an event loop in the thread that also prepares rows for a journey.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

# A busy machine is slow, not wrong.
property_checks.register_profile("house", deadline=None)
property_checks.load_profile("house")


@pytest.fixture(scope="session")
def own_servers() -> Iterator[Addresses]:
    """PostgreSQL and Valkey for this run alone, or those that DATABASE_URL and REDIS_URL name."""
    with servers.private() as at:
        yield at


@pytest.fixture(scope="session")
def django_db_modify_db_settings(own_servers: Addresses) -> None:
    """pytest-django asks for this before it makes the test database."""
    settings.DATABASES["default"].update(addresses.database(own_servers.database_url))
    settings.CACHES["default"]["LOCATION"] = addresses.cache(own_servers.redis_url)
    settings.CELERY_BROKER_URL = addresses.broker(own_servers.redis_url)
    app.conf.update(broker_url=settings.CELERY_BROKER_URL)


@pytest.fixture(scope="session", autouse=True)
def _quick_passwords() -> None:
    """The hash that guards real accounts is slow on purpose; the cast has nothing to guard."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(scope="session", autouse=True)
def _own_push_key(tmp_path_factory: pytest.TempPathFactory) -> None:
    settings.VAPID_FILE = tmp_path_factory.mktemp("push") / "push.pem"


@pytest.fixture(scope="session", autouse=True)
def _sweepable_between_tests() -> Iterator[None]:
    """Tests with real commits empty the tables afterwards, which the triggers rightly refuse.

    Rows are deleted: to truncate makes every table and index of the schema anew, for the few
    that hold anything.
    """
    kept = DatabaseOperations.sql_flush

    def sweep(
        self: DatabaseOperations, style: Any, tables: Any, *, reset_sequences: bool, **more: Any
    ) -> list[str]:
        if reset_sequences:
            sql = kept(self, style, tables, reset_sequences=True, **more)
        else:
            sql = [f"DELETE FROM {self.quote_name(table)};" for table in tables]
        role = "SET session_replication_role = "
        return [f"{role}replica;", *sql, f"{role}origin;"] if sql else sql

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(DatabaseOperations, "sql_flush", sweep)
        yield
