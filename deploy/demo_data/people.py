"""Who works at the facility. Nobody of these names is meant."""

from dataclasses import dataclass
from typing import Final

SITE_NAME: Final = "Larkmoor Aquatics"
MANAGER: Final = "marit"
SECOND: Final = "tove"
VETERINARIAN: Final = "silas"
STAFF: Final = ("tove", "kasim", "jun")


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    username: str
    full_name: str
    initials: str
    role: str

    @property
    def password(self) -> str:
        """Printed for everybody to see: the demo answers on this machine only."""
        return f"larkmoor-{self.username}"


MEMBERS: Final = (
    Member(username=MANAGER, full_name="Marit Dunmore", initials="MD", role="MANAGER"),
    Member(username="tove", full_name="Tove Ashby", initials="TA", role="STAFF"),
    Member(username="kasim", full_name="Kasim Orlow", initials="KO", role="STAFF"),
    Member(username="jun", full_name="Jun Petrie", initials="JP", role="STAFF"),
    Member(username="nora", full_name="Nora Whitlock", initials="NW", role="AUDITOR"),
    Member(username="silas", full_name="Silas Penhale", initials="SP", role="VETERINARIAN"),
)
