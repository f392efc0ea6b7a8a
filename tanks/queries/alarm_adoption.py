"""Which of the shipped alarm rules a site never had."""

from facility.models import Site
from tanks.models import AlarmRule
from tanks.rules.alarm_defaults import alarm_rules
from tanks.rules.alarm_values import AlarmValues


def missing_rules(site: Site) -> list[AlarmValues]:
    """Shipped rules the site has not and had not; what a manager ended does not come back."""
    known = set(AlarmRule.objects.filter(site=site).values_list("code", flat=True))
    return [values for values in alarm_rules() if values.code not in known]
