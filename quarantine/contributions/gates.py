"""The gate into a water of animals that are the first there."""

from uuid import UUID

from django.urls import reverse

from facility.jobs import follow
from facility.sockets.aftermath import Aftermath, aftermaths
from facility.sockets.deeds import KEEPERS, MANAGER, VETERINARIAN, Deed, deeds
from facility.sockets.follow_ups import follow_ups
from facility.sockets.menu import Group, MenuEntry, menu
from quarantine.commands.admissions import (
    AdmitAnimals,
    RecordStocking,
    admit_animals,
    record_stocking,
)
from quarantine.paper.admissions import admission
from quarantine.queries.admissions import first_entries
from quarantine.rules.follow_ups import FOLLOW_UPS
from tanks.sockets.dossier import SectionSource, dossier_sections
from tanks.sockets.stocking import StockingSource, stocking_sources
from tanks.sockets.ways import Way, ways

deeds.plug(
    Deed(
        name="quarantine.admit-animals",
        command=AdmitAnimals,
        give=admit_animals,
        roles=frozenset({MANAGER, VETERINARIAN}),
        says="opened the gate for animals",
        is_signature=True,
    )
)
deeds.plug(
    Deed(
        name="quarantine.record-stocking",
        command=RecordStocking,
        give=record_stocking,
        roles=KEEPERS,
        says="recorded animals that entered",
    )
)
stocking_sources.plug(StockingSource("quarantine.stockings", first_entries))
dossier_sections.plug(SectionSource("quarantine.admission", admission))


def _gate(vessel_id: UUID) -> str:
    return reverse("quarantine:gate", args=[vessel_id])


ways.plug(Way("quarantine.gate", "Gate", _gate))
menu.plug(
    MenuEntry(
        name="quarantine.gates",
        label="Gates",
        url_name="quarantine:gates",
        order=30,
        group=Group.WATER,
    )
)
for each in FOLLOW_UPS:
    follow_ups.plug(each)
_ACTS = frozenset({"quarantine.admit-animals", "quarantine.record-stocking"})
aftermaths.plug(Aftermath("quarantine.answer-tasks", _ACTS, follow))
