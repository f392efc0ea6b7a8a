"""What follows a ledger line, and when nothing does."""

from typing import Any

from facility.sockets.aftermath import Aftermath, aftermaths, following, nothing_follows


def _nothing(kind: str, about: str, facts: dict[str, Any]) -> None:
    raise AssertionError(kind)


NOTED = Aftermath("tests.note", frozenset({"tests.sing"}), _nothing)


def test_only_the_kinds_asked_for_are_followed() -> None:
    with aftermaths.plugged(NOTED):
        assert following("tests.sing") == (NOTED,)
        assert following("tests.dance") == ()


def test_nothing_follows_while_a_history_is_written() -> None:
    with aftermaths.plugged(NOTED):
        with nothing_follows():
            assert following("tests.sing") == ()

        assert following("tests.sing") == (NOTED,)
