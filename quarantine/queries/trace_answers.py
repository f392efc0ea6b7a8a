"""A trace as plain values, for JSON and for a table: the same order, the same words."""

from datetime import datetime
from typing import Any

from quarantine.queries.tracing import LotReached, Stop, Traced
from quarantine.rules.tracing import Edge


def answer(found: Traced) -> dict[str, Any]:
    """The whole trace; moments in ISO 8601, UTC."""
    return {
        "subject": {"key": found.subject.key, "name": found.subject.name},
        "direction": found.direction.value,
        "since": _iso(found.since),
        "until": _iso(found.until),
        "reached": [_stop(one) for one in found.stops],
        "lots": [_lot(one) for one in found.lots],
        "stopped": [_edge(one) for one in found.barriers],
        "edges": [_edge(one) for one in found.edges],
    }


def _stop(stop: Stop) -> dict[str, Any]:
    return {
        "key": stop.place.key,
        "kind": stop.place.what,
        "name": stop.place.name,
        "at": _iso(stop.at),
        "contacts": stop.contacts,
        "way": [_edge(one) for one in stop.way],
    }


def _lot(lot: LotReached) -> dict[str, Any]:
    return {
        "code": lot.lot.code,
        "scientificName": lot.lot.species.scientific_name,
        "at": _iso(lot.at),
        "tanks": list(lot.vessels),
        "is_there": lot.is_there,
    }


def _edge(edge: Edge) -> dict[str, Any]:
    told = {
        "kind": edge.kind.value,
        "from": edge.source,
        "to": edge.target,
        "start": _iso(edge.start),
        "end": _iso(edge.end),
        "evidence": edge.evidence,
    }
    return told | ({"barrier": edge.barrier} if edge.barrier else {})


def _iso(at: datetime) -> str:
    return at.isoformat()
