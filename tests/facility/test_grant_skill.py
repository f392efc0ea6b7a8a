from datetime import timedelta

import pytest

from facility.commands.shifts import UnknownKeeper
from facility.commands.skills import EndSkill, SkillHeld, SkillUnnamed, end_skill
from facility.queries.shifts import skill_names, skills_at
from tests.cast import NOON, House
from tests.facility.rounds import granted
from tests.facility.working import set_for

pytestmark = pytest.mark.django_db

LATER = NOON + timedelta(days=1)


def test_a_skill_holds_until_it_is_ended(house: House) -> None:
    skill = granted(house, house.ana)

    end_skill(EndSkill(skill_id=skill.pk), by=house.mo, at=LATER)

    assert skills_at(house.site, at=NOON) == {house.ana.pk: frozenset({"photometer"})}
    assert skills_at(house.site, at=LATER) == {}


def test_it_is_spelled_as_the_work_spells_it(house: House) -> None:
    set_for(house, skill="Life support")

    skill = granted(house, house.ana, "life  SUPPORT ")

    assert skill.name == "Life support"
    assert skill_names(house.site) == ["Life support"]


def test_nobody_is_granted_it_twice(house: House) -> None:
    granted(house, house.ana)

    with pytest.raises(SkillHeld):
        granted(house, house.ana)


def test_a_skill_has_a_name_and_its_holder_keeps_tanks(house: House) -> None:
    with pytest.raises(SkillUnnamed):
        granted(house, house.ana, "  ")
    with pytest.raises(UnknownKeeper):
        granted(house, house.vera)
