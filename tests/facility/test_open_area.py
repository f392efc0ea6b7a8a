"""Areas are rooms, rows or racks, from clean (1) to dirty (9)."""

from dataclasses import replace
from uuid import uuid4

import pytest

from facility.commands.places import HygieneRankOffScale, NameTaken, OpenArea, open_area
from facility.models import Area
from facility.refusals import IdTaken, NotAllowed, NotFound
from tests.cast import NOON, House


def _area(house: House) -> OpenArea:
    return OpenArea(id=uuid4(), site_id=house.site.pk, name="Back room", hygiene_rank=4)


def test_a_manager_adds_an_area_once(house: House) -> None:
    command = _area(house)

    area = open_area(command, by=house.mo, at=NOON)

    assert open_area(command, by=house.mo, at=NOON) == area
    assert Area.objects.filter(name="Back room").count() == 1
    with pytest.raises(IdTaken):
        open_area(replace(command, hygiene_rank=5), by=house.mo, at=NOON)


def test_staff_may_not_and_a_stranger_finds_no_site(house: House) -> None:
    with pytest.raises(NotAllowed):
        open_area(_area(house), by=house.ana, at=NOON)
    with pytest.raises(NotFound):
        open_area(_area(house), by=house.bo, at=NOON)


@pytest.mark.parametrize("rank", [0, 10, -1])
def test_a_rank_off_the_scale_is_refused(house: House, rank: int) -> None:
    with pytest.raises(HygieneRankOffScale):
        open_area(replace(_area(house), hygiene_rank=rank), by=house.mo, at=NOON)


def test_two_areas_of_a_site_never_bear_one_name(house: House) -> None:
    with pytest.raises(NameTaken):
        open_area(replace(_area(house), name=house.area.name), by=house.mo, at=NOON)
