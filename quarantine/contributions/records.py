"""Registers, movement and treatment records, release packs."""

from facility.sockets.menu import Group, MenuEntry, menu

menu.plug(
    MenuEntry(
        name="quarantine.records",
        label="Registers and records",
        url_name="quarantine:records",
        order=44,
        group=Group.PROOF,
    )
)
