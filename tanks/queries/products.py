"""What stands on a site's shelf."""

from collections.abc import Iterable
from datetime import date, datetime

from django.db.models import F, Q, QuerySet

from facility.models import Site
from facility.rules.wording import written
from tanks.models import Product


def shelf(site: Site) -> QuerySet[Product]:
    """Every product that was not retired, those that expire soonest first within a name."""
    rows = Product.objects.filter(site=site, retired_at=None)
    return rows.order_by("substance", "name", F("expires_on").asc(nulls_last=True), "pk")


def usable(site: Site, substances: Iterable[str], *, at: datetime) -> QuerySet[Product]:
    """What may be used at that moment: there, not retired, and in date by the site's calendar."""
    today = at.astimezone(site.zone).date()
    known = Product.objects.filter(site=site, substance__in=tuple(substances))
    in_use = known.filter(Q(retired_at=None) | Q(retired_at__gt=at))
    in_date = in_use.filter(Q(expires_on=None) | Q(expires_on__gte=today))
    return in_date.order_by(F("expires_on").asc(nulls_last=True), "name", "pk")


def is_expired(product: Product, *, on: date) -> bool:
    """The day printed on the container is the last good one."""
    return product.expires_on is not None and product.expires_on < on


def strength_of(product: Product) -> str:
    """Return the strength as labels print it."""
    if product.substance == Product.Substance.CULTURE:
        return "culture"
    if product.form == Product.Form.SOLUTION:
        return f"{written(product.strength)} g/L"
    return f"{written(product.strength * 100)} % pure"
