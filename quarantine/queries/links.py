"""Where the gate's evidence stands on screen."""

from uuid import UUID

from django.urls import reverse

from tanks.models import Cycle, Reading


def cycle_page(cycle: Cycle) -> str:
    return reverse("tanks:cycle", args=[cycle.pk])


def tank_page(vessel_id: UUID) -> str:
    return reverse("tanks:tank", args=[vessel_id])


def reading_page(reading: Reading) -> str:
    return tank_page(reading.vessel_id)
