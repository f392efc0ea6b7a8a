"""What the facility plugs into its own sockets, like everyone else."""

from facility.commands.documents import IssueDocument, issue_document
from facility.commands.people import (
    EndMembership,
    InvitePerson,
    end_membership,
    invite_person,
)
from facility.commands.places import OpenArea, OpenSite, open_area, open_site
from facility.queries import subjects
from facility.sockets.deeds import MANAGERS, SIGNERS, Deed, deeds
from facility.sockets.menu import MenuEntry, menu
from facility.sockets.subjects import SubjectSource, subject_sources

deeds.plug(
    Deed(
        name="facility.open-site",
        command=OpenSite,
        give=open_site,
        roles=MANAGERS,
        says="opened the site",
    )
)
deeds.plug(
    Deed(
        name="facility.open-area",
        command=OpenArea,
        give=open_area,
        roles=MANAGERS,
        says="added an area",
    )
)
deeds.plug(
    Deed(
        name="facility.end-membership",
        command=EndMembership,
        give=end_membership,
        roles=MANAGERS,
        says="let a person leave",
    )
)
deeds.plug(
    Deed(
        name="facility.invite-person",
        command=InvitePerson,
        give=invite_person,
        roles=MANAGERS,
        says="gave a person an account and a role",
    )
)
deeds.plug(
    Deed(
        name="facility.issue-document",
        command=IssueDocument,
        give=issue_document,
        roles=SIGNERS,
        says="issued a document",
    )
)
menu.plug(MenuEntry(name="facility.ledger", label="Ledger", url_name="facility:ledger", order=90))
menu.plug(MenuEntry(name="facility.people", label="People", url_name="facility:people", order=80))
subject_sources.plug(
    SubjectSource(
        name="facility.sites",
        table="facility.site",
        places=subjects.sites_as_places,
        alike=subjects.site_alone,
    )
)
subject_sources.plug(
    SubjectSource(
        name="facility.areas",
        table="facility.area",
        places=subjects.areas_as_places,
        alike=subjects.area_alone,
    )
)
