"""Products and shares as words."""

from decimal import Decimal
from typing import Final

from django.template import Library

from facility.rules.wording import written
from tanks.models import Product
from tanks.queries import products

register: Final = Library()


@register.filter
def strength(product: Product) -> str:
    return products.strength_of(product)


@register.filter
def percent(share: Decimal) -> str:
    return f"{written(share * 100)} %"
