"""Migrations say what the models say, and lead back as well as forth."""

from collections.abc import Iterator

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from pytest_django import DjangoDbBlocker

SCRATCH = "penstock_migrations_scratch"
OURS = ("facility", "tanks", "quarantine")


@pytest.fixture
def scratch(
    django_db_setup: None, django_db_blocker: DjangoDbBlocker
) -> Iterator[MigrationExecutor]:
    """An empty database on the tests' server, on a connection of its own."""
    with django_db_blocker.unblock():
        _on_server(f"DROP DATABASE IF EXISTS {SCRATCH} WITH (FORCE)")
        _on_server(f"CREATE DATABASE {SCRATCH}")
        empty = connection.copy("default")
        empty.settings_dict = connection.settings_dict | {"NAME": SCRATCH}
        yield MigrationExecutor(empty)
        empty.close()
        _on_server(f"DROP DATABASE {SCRATCH} WITH (FORCE)")


@pytest.mark.django_db
def test_models_need_no_migration_that_is_not_written() -> None:
    call_command("makemigrations", "--check", "--dry-run", verbosity=0)


@pytest.mark.django_db
def test_every_migration_leads_forth_back_and_forth_again(scratch: MigrationExecutor) -> None:
    everything = scratch.loader.graph.leaf_nodes()

    scratch.migrate(everything)
    first = _tables(scratch)
    scratch.loader.build_graph()
    scratch.migrate([(app, None) for app in OURS])
    assert [name for name in _tables(scratch) if name.split("_")[0] in OURS] == []
    scratch.loader.build_graph()
    scratch.migrate(everything)

    assert _tables(scratch) == first


def _tables(scratch: MigrationExecutor) -> list[str]:
    """Tables, triggers, functions and checks by name."""
    with scratch.connection.cursor() as cursor:
        cursor.execute(
            "SELECT tablename FROM pg_tables WHERE schemaname = 'public' "
            "UNION ALL SELECT tgrelid::regclass || ' ' || tgname FROM pg_trigger "
            "WHERE NOT tgisinternal "
            "UNION ALL SELECT proname FROM pg_proc WHERE proname LIKE 'penstock%' "
            "UNION ALL SELECT conrelid::regclass || ' ' || pg_get_constraintdef(oid) "
            "FROM pg_constraint WHERE contype IN ('c', 'x') AND conrelid <> 0 ORDER BY 1"
        )
        return [row[0] for row in cursor.fetchall()]


def _on_server(sql: str) -> None:
    connection.ensure_connection()
    with connection._nodb_cursor() as cursor:
        cursor.execute(sql)
