"""What turning a valve does, in words. The sentences are the house's own."""

from tanks.rules.turns import Part, says

SYSTEM = Part(name="S-1", codes=("S-1", "A-02", "A-03"), litres=1400.0)
TANK = Part(name="A-01", codes=("A-01",), litres=120.0)
BOTH = Part(name="S-1", codes=("S-1", "A-01", "A-02", "A-03"), litres=1520.0)


def test_opening_names_both_waters_and_the_volume_they_make() -> None:
    assert says((TANK, SYSTEM), (BOTH,)) == (
        "Opening joins A-01 and S-1 with 2 others into one water: 1520 L net."
    )


def test_closing_names_what_each_part_holds_afterwards() -> None:
    assert says((BOTH,), (TANK, SYSTEM)) == (
        "Closing splits the water of S-1 with 3 others. After it: A-01: 120 L net; "
        "S-1 with 2 others: 1400 L net."
    )


def test_valve_in_a_ring_changes_nothing() -> None:
    assert says((BOTH,), (BOTH,)) == ("The water stays as it is: S-1 with 3 others, 1520 L net.")


def test_unmeasured_vessels_are_named() -> None:
    unknown = Part(
        name="S-1", codes=("S-1", "A-01", "A-02"), litres=None, unmeasured=("A-01", "A-02")
    )

    assert says((TANK, SYSTEM), (unknown,)).endswith(
        "net volume unknown, because A-01 and A-02 are not measured."
    )
