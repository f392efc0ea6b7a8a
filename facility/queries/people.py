"""Who may do what, where."""

from facility.models import Membership, Person, Site
from facility.refusals import NotAllowed
from facility.sockets.deeds import deeds


def role_at(site: Site, person: Person) -> str | None:
    """The person's role there now, or None for a stranger."""
    roles = Membership.objects.filter(site=site, person=person, until=None)
    return roles.values_list("role", flat=True).first()


def may(person: Person, name: str, site: Site) -> bool:
    role = role_at(site, person)
    return any(deed.name == name and role in deed.roles for deed in deeds)


def deeds_of(person: Person, site: Site) -> frozenset[str]:
    """Names of all the commands the person's role at the site may give."""
    role = role_at(site, person)
    return frozenset(deed.name for deed in deeds if role in deed.roles)


def may_somewhere(person: Person, name: str) -> bool:
    """Whether the person may give this command at any site at all."""
    roles = {role for deed in deeds if deed.name == name for role in deed.roles}
    held = Membership.objects.filter(person=person, until=None, role__in=roles)
    return held.exists()


def require(person: Person, name: str, site: Site) -> None:
    """Raise NotAllowed unless the person's role at the site may give this command."""
    if not may(person, name, site):
        raise NotAllowed(f"{person.full_name} may not do this at {site.name}; ask a manager.")
