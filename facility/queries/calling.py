"""How long a site waits before it calls the next."""

from dataclasses import fields

from facility.models import CallPolicy, Site
from facility.rules.calling import USUAL, CallTimes


def call_policy(site: Site) -> CallPolicy | None:
    """What was set last; None: nobody has set anything yet."""
    rows = CallPolicy.objects.current().filter(site=site).select_related("by")
    latest: CallPolicy | None = rows.order_by("-happened_at", "-recorded_at", "-pk").first()
    return latest


def call_times(site: Site) -> CallTimes:
    """The times in force, as calls are judged by."""
    row = call_policy(site)
    if row is None:
        return USUAL
    return CallTimes(**{one.name: getattr(row, one.name) for one in fields(CallTimes)})
