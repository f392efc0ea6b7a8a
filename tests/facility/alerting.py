"""Builders of alerts: what is seen about a tank, raised as the house does it."""

from datetime import datetime
from typing import Any
from uuid import uuid4

from facility.commands.alerts import ClearAlert, RaiseAlert, clear_alert, raise_alert
from facility.models import Alert
from facility.rules.alerts import Seen
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.tanks.estate import vessel_of


def a_sign(rule: str = "tan-limit", **changes: Any) -> Seen:
    told: dict[str, Any] = {
        "level": 2,
        "sentence": "TAN 0.5 mg/L as N is above 0.25 mg/L as N.",
        "advice": "Feed less and test again today.",
        "source": "common practice, no source",
        "evidence": ("tanks.reading:1",),
    }
    return Seen(rule=rule, **(told | changes))


def told_of(house: House, *signs: Seen, vessel: Vessel | None = None) -> RaiseAlert:
    """What is seen about a tank now; without signs, nothing any more."""
    tank = vessel or Vessel.objects.filter(code="A-01").first() or vessel_of(house)
    return RaiseAlert(
        id=uuid4(),
        site_id=house.site.pk,
        about=f"tanks.vessel:{tank.pk}",
        name=tank.code,
        url=f"/tanks/{tank.pk}/",
        area_id=tank.area_id,
        signs=signs,
    )


def raised(house: House, *signs: Seen, at: datetime = NOON) -> Alert:
    alert = raise_alert(told_of(house, *(signs or (a_sign(),))), by=None, at=at)
    assert alert is not None
    return alert


def clearing(alert: Alert, **changes: Any) -> ClearAlert:
    told: dict[str, Any] = {
        "cause": "FEEDING",
        "cause_note": "",
        "action_needed": True,
        "act": "Fed half, changed 20 %.",
    }
    return ClearAlert(alert_id=alert.pk, **(told | changes))


def cleared(house: House, alert: Alert, *, at: datetime = NOON, **changes: Any) -> Alert:
    return clear_alert(clearing(alert, **changes), by=house.ana, at=at)
