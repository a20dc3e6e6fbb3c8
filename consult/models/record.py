"""Who did what, and when: the record of a consultation, each line carrying the hash of the one before."""

from typing import Any

from django.conf import settings
from django.db import models

from consult.models.consultations import Consultation
from shop.models import Sealed


class Entry(Sealed):
    """One line of a consultation's record: who did what, when. Each carries the hash of the one before."""

    consultation = models.ForeignKey(Consultation, on_delete=models.PROTECT, related_name="record")
    place = models.PositiveIntegerField()
    at = models.DateTimeField()
    who = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True
    )
    who_words = models.CharField(max_length=200)
    what = models.CharField(max_length=40)
    says = models.TextField()
    details = models.JSONField(default=dict)
    revision = models.PositiveIntegerField()  # of the consultation, right after the change
    page = models.CharField(max_length=40, blank=True)  # the open page it came from
    previous = models.CharField(max_length=64, blank=True)
    hash = models.CharField(max_length=64)

    class Meta:
        ordering = ("consultation", "place")
        constraints = (
            models.UniqueConstraint(fields=("consultation", "place"), name="one_entry_a_place"),
        )

    def __str__(self) -> str:
        return f"{self.place}: {self.says}"

    def as_hashed(self) -> dict[str, Any]:
        """What the hash is taken over."""
        return {
            "consultation": self.consultation_id,
            "place": self.place,
            "at": self.at.isoformat(),
            "who": self.who_words,
            "what": self.what,
            "says": self.says,
            "details": self.details,
            "revision": self.revision,
        }
