"""The nouns of the facility."""

from facility.models.facts import Fact as Fact
from facility.models.facts import FactQuerySet as FactQuerySet
from facility.models.ledger import Entry as Entry
from facility.models.memberships import Membership as Membership
from facility.models.paper import Document as Document
from facility.models.people import Person as Person
from facility.models.places import Area as Area
from facility.models.places import Site as Site
