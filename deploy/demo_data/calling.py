"""What the alarm rules see once the story is told; one alert is seen to, one was cleared."""

from datetime import datetime
from typing import Final

from deploy.demo_data.acts import ident
from deploy.demo_data.channels import sent
from facility.commands.alerts import AcceptAlert, ClearAlert, accept_alert, clear_alert
from facility.models import Alert, Person, Site
from facility.sockets.aftermath import nothing_follows
from tanks.commands.watching import watch

_SEES_TO_IT: Final = "kasim"
_CLEARS: Final = "tove"


def called(site: Site, *, at: datetime) -> None:
    """Raise what stands; accept the most pressing with its advice, clear the least with a cause."""
    with nothing_follows():
        watch(site, at=at)
        sent(at=at)
        raised = list(site.alerts.filter(cleared_at=None).order_by("level", "name", "pk"))
        if len(raised) > 1 and not site.alerts.filter(accepted_by__isnull=False).exists():
            _accept(raised[0], at)
            _clear(raised[-1], at)


def _accept(alert: Alert, at: datetime) -> None:
    sign = alert.signs.filter(passed_at=None).order_by("level", "rule").first()
    act = AcceptAlert(alert_id=alert.pk, act=sign.advice[:200] if sign else "")
    accept_alert(act, by=Person.objects.get(pk=ident(f"person:{_SEES_TO_IT}")), at=at)


def _clear(alert: Alert, at: datetime) -> None:
    told = ClearAlert(
        alert_id=alert.pk,
        cause="INSTRUMENT",
        cause_note="Read once more with the other pen.",
        action_needed=False,
    )
    clear_alert(told, by=Person.objects.get(pk=ident(f"person:{_CLEARS}")), at=at)
