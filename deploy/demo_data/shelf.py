"""What stands on the shelf. The makers' names are left out: there are none."""

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from typing import Final

from deploy.demo_data.acts import TODAY, Act, Weeks, ident
from deploy.demo_data.house import SITE_ID
from deploy.demo_data.people import MANAGER
from tanks.commands.products import RetireProduct, ShelveProduct
from tanks.rules.dosing import Contents

# Name, substance, form, strength, batch, days from the first day until it expires.
_CONTAINERS: Final = {
    "ammonia stock": (
        "Ammonium chloride stock 50 g/L",
        "AMMONIUM_CHLORIDE",
        "SOLUTION",
        "50",
        "NC-118",
        400,
    ),
    "ammonia salt": (
        "Ammonium chloride, reagent grade",
        "AMMONIUM_CHLORIDE",
        "SOLID",
        "0.995",
        "R-2207",
        900,
    ),
    "bicarbonate": (
        "Sodium bicarbonate, food grade",
        "SODIUM_BICARBONATE",
        "SOLID",
        "0.99",
        "25 kg sack 6",
        None,
    ),
    "carbonate": ("Soda ash, anhydrous", "SODIUM_CARBONATE", "SOLID", "0.98", "SA-40", None),
    "dechlorinator": (
        "Thiosulfate stock 130 g/L",
        "SODIUM_THIOSULFATE",
        "SOLUTION",
        "130",
        "TS-031",
        200,
    ),
    "salt": ("Sea salt mix, 20 kg bags", "SEA_SALT", "SOLID", "0.97", "lot 4471", None),
    "culture old": ("Nitrifier culture, chilled", "CULTURE", "SOLUTION", "1", "C-0911", 12),
    "culture": ("Nitrifier culture, chilled", "CULTURE", "SOLUTION", "1", "C-1030", TODAY + 60),
}


def contents(key: str) -> Contents:
    _, substance, form, strength, _, _ = _CONTAINERS[key]
    return Contents(substance=substance, form=form, strength=float(strength))


def shelved(weeks: Weeks) -> Iterator[Act]:
    """Put every container on the shelf; the old culture comes off it when it is out of date."""
    for key, (name, substance, form, strength, batch, days) in _CONTAINERS.items():
        command = ShelveProduct(
            id=ident(f"product:{key}"),
            site_id=SITE_ID,
            name=name,
            substance=substance,
            form=form,
            strength=Decimal(strength),
            batch=batch,
            expires_on=None if days is None else weeks.first_on + timedelta(days=days),
        )
        yield Act(at=weeks.at(0, "07:15"), by=MANAGER, command=command)
    retired_at = weeks.at(13, "08:10")
    gone = RetireProduct(product_id=ident("product:culture old"), happened_at=retired_at)
    yield Act(at=retired_at, by="kasim", command=gone)
