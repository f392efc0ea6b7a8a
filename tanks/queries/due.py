"""What is due in one water, whoever says so."""

from facility.sockets.work import Due, task_sources
from tanks.queries.waters import Water


def due_in(water: Water) -> list[Due]:
    """Everything open at the water's moment that names one of its vessels, soonest first."""
    found = (
        due
        for source in task_sources
        for due in source.due(water.anchor.site_id, water.at)
        if due.vessel_ids & water.member_ids
    )
    return sorted(found, key=lambda due: (due.due_at, due.title, due.key))
