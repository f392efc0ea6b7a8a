import uuid

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models


class PersonManager(BaseUserManager["Person"]):
    pass


class Person(AbstractBaseUser):
    """One human being, one account; accounts are never shared."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    username = models.CharField(max_length=60, unique=True)
    full_name = models.CharField(max_length=120)
    initials = models.CharField(max_length=6)
    is_active = models.BooleanField(default=True)

    objects = PersonManager()

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS = ["full_name", "initials"]

    def __str__(self) -> str:
        return self.full_name
