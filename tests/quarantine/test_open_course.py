"""A course from its order to its end level: who orders, when the clock runs, when it is cleared.

What an order must hold: 21 CFR 530.5. Two readings in a row start the clock, 14 days, then
cleared: trade practice (hobby magazine 2009).
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from facility.refusals import NotAllowed, NotFound
from quarantine.commands.courses import (
    CourseRunning,
    OrderMissing,
    OrderUnfit,
    TargetOffWindow,
    open_course,
)
from quarantine.commands.treatment_orders import (
    DosageUnsound,
    LicenceMissing,
    MinutesMissing,
    order_treatment,
)
from tests.cast import NOON, House
from tests.quarantine.treating import (
    DAY,
    HOUR,
    agents_in,
    course_command,
    order_of,
    ordered,
    tank_of,
)

pytestmark = pytest.mark.django_db


def test_only_a_veterinarian_orders_and_says_all_the_record_needs(house: House) -> None:
    agents_in(house)
    tank = tank_of(house)
    command = order_of(tank)

    for person, refusal in ((house.mo, NotAllowed), (house.ana, NotAllowed), (house.bo, NotFound)):
        with pytest.raises(refusal):
            order_treatment(command, by=person, at=NOON)
    for changes, wrong in (
        ({"licence": " "}, LicenceMissing),
        ({"low": Decimal("0.3")}, DosageUnsound),
        ({"agent_code": "FORMALIN", "low": Decimal(150), "high": Decimal(250)}, MinutesMissing),
    ):
        with pytest.raises(wrong):
            order_treatment(replace(command, **changes), by=house.vera, at=NOON)

    order = order_treatment(command, by=house.vera, at=NOON)
    assert order == order_treatment(command, by=house.vera, at=NOON + HOUR)
    assert (order.condition, order.count, order.withdrawal_days) == ("Marine white spot", 30, 0)


def test_a_course_takes_an_order_that_holds_for_this_agent_and_this_water(house: House) -> None:
    agents_in(house)
    tank, other = tank_of(house), tank_of(house, code="Q-02")
    order = ordered(house, tank)

    with pytest.raises(OrderMissing):
        open_course(course_command(tank, None), by=house.ana, at=NOON)
    with pytest.raises(OrderUnfit):
        open_course(course_command(other, order), by=house.ana, at=NOON)
    with pytest.raises(OrderUnfit):
        open_course(course_command(tank, order, "PRAZIQUANTEL"), by=house.ana, at=NOON)
    late = NOON + 31 * DAY
    with pytest.raises(OrderUnfit):
        open_course(course_command(tank, order, at=late), by=house.ana, at=late)
    with pytest.raises(TargetOffWindow):
        open_course(course_command(tank, order, target="0.25"), by=house.ana, at=NOON)
    opened_now = open_course(course_command(tank, order), by=house.ana, at=NOON)
    assert opened_now.order == order
    with pytest.raises(CourseRunning):
        open_course(course_command(tank, order), by=house.ana, at=NOON)


def test_bound_copper_has_no_window_but_that_of_its_order(house: House) -> None:
    agents_in(house)
    tank = tank_of(house)
    order = ordered(house, tank, "COPPER_BOUND")

    course = open_course(
        course_command(tank, order, "COPPER_BOUND", target="2"), by=house.ana, at=NOON
    )

    assert (course.low, course.high) == (order.low, order.high)
