import uuid

from django.db import models

from facility.models.people import Person
from facility.models.places import Site


class Membership(models.Model):
    """What a person is at a site, from when until when."""

    class Role(models.TextChoices):
        MANAGER = "MANAGER", "Manager"
        STAFF = "STAFF", "Staff"
        AUDITOR = "AUDITOR", "Auditor"
        VETERINARIAN = "VETERINARIAN", "Veterinarian"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    person = models.ForeignKey(Person, models.PROTECT, related_name="memberships")
    site = models.ForeignKey(Site, models.PROTECT, related_name="memberships")
    role = models.CharField(max_length=20, choices=Role)
    since = models.DateTimeField()
    until = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["person", "site"],
                condition=models.Q(until=None),
                name="facility_one_open_membership",
            ),
            models.CheckConstraint(
                condition=models.Q(role__in=["MANAGER", "STAFF", "AUDITOR", "VETERINARIAN"]),
                name="facility_membership_role",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} as {self.get_role_display()} at {self.site}"
