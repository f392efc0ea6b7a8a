"""Which methods a sheet of readings offers for a parameter."""

import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from decimal import Decimal
from uuid import UUID

from django.core.serializers.json import DjangoJSONEncoder

from facility.models import Site
from facility.rules.wording import unit_and_basis
from tanks.commands.entering import reach_of
from tanks.commands.methods import GENERIC, DefineMethod, generic
from tanks.models import Method
from tanks.rules.plausibility import Reach
from tanks.rules.scales import USUAL
from tanks.rules.values import measures


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One method; ``define`` adds it if it is a plain one that the site has not used yet."""

    method_id: UUID
    label: str
    reach: Reach
    steps: tuple[Decimal, ...] = ()
    define: DefineMethod | None = None

    @property
    def value(self) -> str:
        return str(self.method_id)

    @property
    def measure(self) -> str:
        return pair(self.reach.unit, self.reach.basis)


def offers(site: Site, methods: Iterable[Method], parameter: str) -> list[Offer]:
    """The site's own methods by name, then the plain ones of kinds it has none of."""
    own = [method for method in methods if method.parameter == parameter]
    found = [_own(method) for method in sorted(own, key=lambda method: method.name)]
    return [*found, *_plain(site, parameter, {method.kind for method in own})]


def spoken(offered: Iterable[Offer]) -> str:
    """Tell a phone without signal, as JSON by id: how it measures, how to add it if it is new."""
    told = {
        offer.value: {
            "measure": offer.measure,
            "define": asdict(offer.define) if offer.define else None,
        }
        for offer in offered
    }
    return json.dumps(told, cls=DjangoJSONEncoder)


def pair(unit: str, basis: str) -> str:
    """Unit and basis as one answer of a sheet."""
    return f"{unit}|{basis}"


def unit_choices(parameter: str) -> list[tuple[str, str]]:
    """Every unit and basis the parameter may be written in."""
    return [
        (pair(one.unit, one.basis), spelled(one.unit, one.basis)) for one in measures(parameter)
    ]


def spelled(unit: str, basis: str) -> str:
    """``mg/L as NO₂``; a pH is told by its scale."""
    if unit != "pH":
        return unit_and_basis(unit, basis)
    return "NBS scale (usual)" if basis == "NBS" else "total scale"


def _own(method: Method) -> Offer:
    return Offer(
        method_id=method.pk,
        label=method.name,
        reach=reach_of(method),
        steps=tuple(method.steps),
    )


def _plain(site: Site, parameter: str, kinds: set[str]) -> Iterator[Offer]:
    for name in USUAL[parameter]:
        if GENERIC[name] not in kinds:
            define = generic(site, parameter, name)
            reach = Reach(
                name=name, unit=define.unit, basis=define.basis, lowest=None, highest=None
            )
            yield Offer(method_id=define.id, label=name.capitalize(), reach=reach, define=define)
