from dataclasses import replace

import pytest

from facility.sockets.menu import Group, MenuEntry, entries_for, menu
from facility.sockets.socket import AlreadyPlugged, Socket


def entry_of(
    name: str, *, label: str = "", order: int = 5, roles: frozenset[str] = frozenset()
) -> MenuEntry:
    return MenuEntry(name=name, label=label or name, url_name=name, order=order, roles=roles)


def test_a_socket_keeps_its_plugs_in_the_order_they_came() -> None:
    socket = Socket[MenuEntry]("Shelf")

    socket.plug(entry_of("b"))
    socket.plug(entry_of("a"))

    assert [entry.name for entry in socket] == ["b", "a"]
    assert socket["a"] == entry_of("a")
    assert "b" in socket
    assert "c" not in socket
    assert len(socket) == 2


def test_a_second_plug_of_one_name_is_refused_in_a_sentence() -> None:
    socket = Socket[MenuEntry]("Shelf")
    socket.plug(entry_of("a", label="first"))

    with pytest.raises(AlreadyPlugged, match=r"^Shelf already has a plug named a\.$"):
        socket.plug(entry_of("a", label="second"))

    assert [entry.label for entry in socket] == ["first"]


def test_what_a_test_plugs_is_gone_after_it_even_when_it_fails() -> None:
    socket = Socket[MenuEntry]("Shelf")
    socket.plug(entry_of("stays"))

    with pytest.raises(AlreadyPlugged), socket.plugged(entry_of("goes"), entry_of("stays")):
        pass

    assert [entry.name for entry in socket] == ["stays"]


def test_the_menu_stands_by_order_then_label() -> None:
    lines = entry_of("late", order=9), entry_of("b", order=1), entry_of("a", order=1)

    with menu.plugged(*lines):
        names = [entry.name for entry in entries_for([]) if entry in lines]

    assert names == ["a", "b", "late"]


def test_the_groups_stand_in_the_order_of_the_day() -> None:
    now = replace(entry_of("now", order=9), group=Group.NOW)
    proof = replace(entry_of("proof", order=1), group=Group.PROOF)

    with menu.plugged(proof, now):
        names = [entry.name for entry in entries_for([]) if entry in (now, proof)]

    assert names == ["now", "proof"]


def test_the_menu_has_no_more_groups_than_are_seen_at_a_glance() -> None:
    used = {entry.group for entry in menu}

    assert len(used) <= 7
    assert sum(entry.group is Group.NOW for entry in menu) <= 7


def test_an_entry_for_some_roles_is_seen_by_those_alone() -> None:
    people = entry_of("people-only-here", roles=frozenset({"MANAGER", "AUDITOR"}))

    with menu.plugged(people):
        assert people in entries_for(["MANAGER"])
        assert people in entries_for(["STAFF", "AUDITOR"])
        assert people not in entries_for(["STAFF"])
        assert people not in entries_for([])
