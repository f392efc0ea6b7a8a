"""What goes from tank to tank, and tanks that are emptied and disinfected."""

from typing import Any
from uuid import UUID

from django.urls import reverse

from facility.jobs import follow
from facility.sockets.aftermath import Aftermath, aftermaths
from facility.sockets.deeds import KEEPERS, Deed, deeds
from facility.sockets.loose_ends import LooseEndSource, loose_end_sources
from facility.sockets.menu import Group, MenuEntry, menu
from quarantine.commands.kit_uses import CleanKit, UseKit, clean_kit, use_kit
from quarantine.commands.kits import OpenKit, RetireKit, open_kit, retire_kit
from quarantine.commands.resets import StartReset, TakeResetStep, start_reset, take_reset_step
from quarantine.queries.kits import kit_labelled
from quarantine.queries.resets import contacts
from tanks.sockets.labels import LabelSource, label_sources
from tanks.sockets.ways import TankAct, tank_acts


def _plug(command: type, give: Any, says: str, *, is_hands_on: bool = False) -> None:
    deeds.plug(
        Deed(
            name=f"quarantine.{give.__name__.replace('_', '-')}",
            command=command,
            give=give,
            roles=KEEPERS,
            says=says,
            is_hands_on=is_hands_on,
        )
    )


_plug(OpenKit, open_kit, "put a kit into use")
_plug(RetireKit, retire_kit, "took a kit out of use")
_plug(UseKit, use_kit, "used a kit", is_hands_on=True)
_plug(CleanKit, clean_kit, "cleaned a kit")
_plug(StartReset, start_reset, "began to reset a tank", is_hands_on=True)
_plug(TakeResetStep, take_reset_step, "took a step of a tank's reset", is_hands_on=True)
label_sources.plug(LabelSource(name="quarantine.kits", found=kit_labelled))
loose_end_sources.plug(LooseEndSource(name="quarantine.contacts", loose=contacts))
_ACTS = frozenset({"quarantine.take-reset-step", "quarantine.clean-kit"})
aftermaths.plug(Aftermath("quarantine.answer-tasks-of-kits", _ACTS, follow))


def _reset(vessel_id: UUID) -> str:
    return reverse("quarantine:start-reset", args=[vessel_id])


tank_acts.plug(
    TankAct(
        name="quarantine.start-reset",
        label="Reset the tank",
        url=_reset,
        deed="quarantine.start-reset",
    )
)
menu.plug(
    MenuEntry(
        name="quarantine.kits",
        label="Nets and kits",
        url_name="quarantine:kits",
        order=66,
        group=Group.SHELF,
    )
)
