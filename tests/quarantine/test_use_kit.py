"""A net used in one water and then in another, uncleaned, is asked about, and is a way.

Nets and siphons of their own for each tank, and a record where that is not so: Pacific
Community guideline on aquatic biosecurity.
"""

import pytest

from facility.models import Entry
from quarantine.commands.kit_uses import (
    DisinfectantMissing,
    KitNotCleaned,
    MinutesMissing,
    UnknownMeans,
    clean_kit,
    use_kit,
)
from quarantine.queries.kits import kits_at, uncleaned_since
from tests.cast import NOON, House
from tests.quarantine.equipment import HOUR, cleaned, cleaning_of, net, use_of, used
from tests.tanks.estate import opened, system_of, vessel_of

pytestmark = pytest.mark.django_db


def test_a_use_is_kept_once(house: House) -> None:
    kit, tank = net(house), vessel_of(house)
    command = use_of(kit, tank)

    use = use_kit(command, by=house.ana, at=NOON)

    assert use_kit(command, by=house.ana, at=NOON + HOUR) == use
    assert kits_at(house.site)[0].use == use
    assert not kits_at(house.site)[0].is_clean


def test_uncleaned_from_another_water_it_is_asked_about_once(house: House) -> None:
    kit, first, second = net(house), vessel_of(house), vessel_of(house, code="A-02")
    before = used(house, kit, first)

    with pytest.raises(KitNotCleaned, match="N-03 was in A-01") as asked:
        used(house, kit, second, at=NOON + HOUR)

    assert asked.value.asks == ("kit-not-cleaned",)
    used(house, kit, second, at=NOON + HOUR, asked=True)
    line = Entry.objects.latest("pk").facts
    assert line["uncleaned_since"] == f"quarantine.kituse:{before.pk}"


@pytest.mark.parametrize(
    "how", [{}, {"means": "DRIED", "disinfectant": "", "minutes": None}], ids=["bath", "dried"]
)
def test_cleaned_in_between_nothing_is_asked(house: House, how: dict[str, str]) -> None:
    kit, first, second = net(house), vessel_of(house), vessel_of(house, code="A-02")
    used(house, kit, first)
    cleaned(house, kit, at=NOON + HOUR, **how)

    used(house, kit, second, at=NOON + 2 * HOUR)

    assert uncleaned_since(kit, first, at=NOON + 3 * HOUR) is not None


def test_a_rinse_alone_keeps_nothing_back(house: House) -> None:
    kit, first, second = net(house), vessel_of(house), vessel_of(house, code="A-02")
    used(house, kit, first)
    cleaned(house, kit, at=NOON + HOUR, means="RINSED", disinfectant="", minutes=None)

    with pytest.raises(KitNotCleaned):
        used(house, kit, second, at=NOON + 2 * HOUR)


def test_within_one_water_nothing_is_asked(house: House) -> None:
    """Tanks open to one sump share what is in it anyway."""
    kit, first, second = net(house), vessel_of(house), vessel_of(house, code="A-02")
    system = system_of(house)
    opened(house, first, system)
    opened(house, second, system)
    used(house, kit, first)

    used(house, kit, second, at=NOON + HOUR)


def test_feed_of_one_batch_is_given_everywhere_without_a_question(house: House) -> None:
    batch = net(house, code="Flakes 11/26", kind="FEED_BATCH")
    used(house, batch, vessel_of(house))

    used(house, batch, vessel_of(house, code="A-02"), at=NOON + HOUR)


def test_how_it_was_cleaned_is_said(house: House) -> None:
    kit = net(house)
    for refusal, changes in (
        (UnknownMeans, {"means": "LICKED"}),
        (DisinfectantMissing, {"disinfectant": " "}),
        (MinutesMissing, {"minutes": None}),
        (MinutesMissing, {"minutes": 0}),
    ):
        with pytest.raises(refusal):
            clean_kit(cleaning_of(kit, **changes), by=house.ana, at=NOON)
