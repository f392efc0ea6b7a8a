"""What a record is asked for depends on where the site is: an absent duty is shown as none."""

import pytest

from quarantine.rules.record_notes import (
    NOTES,
    QUARANTINE_SET,
    REGISTER,
    notes_elsewhere,
    notes_for,
)


@pytest.mark.parametrize(
    ("jurisdiction", "expected"),
    [("GB-ENG", {"GB-ENG"}), ("GB-SCT", {"GB-SCT"}), ("US-CA", set()), ("PT", set())],
)
def test_what_the_register_is_asked_for_depends_on_where_the_site_is(
    jurisdiction: str, expected: set[str]
) -> None:
    here = {one.jurisdiction for one in notes_for(REGISTER, jurisdiction)}

    assert here == expected
    elsewhere = {one.jurisdiction for one in notes_elsewhere(REGISTER, jurisdiction)}
    assert here | elsewhere == {one.jurisdiction for one in NOTES if one.record == REGISTER}


def test_members_of_the_union_are_asked_for_the_quarantine_set() -> None:
    assert notes_for(QUARANTINE_SET, "PT")
    assert not notes_for(QUARANTINE_SET, "GB-ENG")
