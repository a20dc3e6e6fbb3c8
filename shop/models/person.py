"""Who may log in?"""

import unicodedata

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower


class Role(models.TextChoices):
    """What somebody may see: the owner everything, staff the consultations but not cost and margin."""

    OWNER = "owner", "Owner"
    STAFF = "staff", "Staff"


class People(BaseUserManager):
    """Finds people by e-mail address, however its letters are written."""

    def written(self, email):
        """The one way an address is kept: composed letters, lower case, no blanks around it."""
        return unicodedata.normalize("NFC", email or "").strip().lower()

    def get_by_natural_key(self, email):
        return self.get(email=self.written(email))

    def take_on(self, email, *, name, role, password):
        """Somebody new, saved with a hashed password."""
        person = self.model(email=self.written(email), name=name, role=role)
        person.set_password(password)
        person.save()
        return person


class Person(AbstractBaseUser):
    """Somebody who works here. Nobody is deleted: whoever leaves is made inactive, their name stays on the record."""

    email = models.EmailField("E-mail", max_length=254, unique=True)
    name = models.CharField("Name", max_length=120)
    role = models.CharField("Role", max_length=10, choices=Role, default=Role.STAFF)
    is_active = models.BooleanField("Works here", default=True)

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS = ["name"]

    objects = People()

    class Meta:
        verbose_name_plural = "people"
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(Lower("email"), name="person_email_once"),
            models.CheckConstraint(
                condition=models.Q(role__in=Role.values), name="person_role_known"
            ),
        ]

    def __str__(self):
        return self.name

    @property
    def is_owner(self):
        return self.role == Role.OWNER
