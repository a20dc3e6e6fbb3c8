"""What is agreed beside the cake, and what the shop tells a client before there is an order."""

from django.db import models
from django.db.models import Q

from shop.core import policies as plain
from shop.models.catalogue import trimmed

# Whose consumer law the starting texts were written for; the texts are in shop/starting_texts.py.
PLACES = (
    ("", "no place yet"),
    ("us", "United States"),
    ("eu", "European Union"),
    ("uk", "United Kingdom"),
    ("ca", "Canada"),
)


class AgreementColumns(models.Model):
    """Days are before hand-over. Every text is the owner's own to edit."""

    changes_until_days = models.PositiveSmallIntegerField(default=14)
    count_until_days = models.PositiveSmallIntegerField(default=21)
    risk_words = models.TextField(max_length=2_000, blank=True)
    photo_words = models.TextField(max_length=1_000, blank=True)
    withdrawal_words = models.TextField(max_length=4_000, blank=True)
    place_of_law = models.CharField(max_length=2, choices=PLACES, blank=True, default="")
    payment_link = models.CharField(max_length=500, blank=True)

    takes_inquiries = models.BooleanField(default=True)
    inquiry_words = models.TextField(max_length=2_000, blank=True)
    data_words = models.TextField(max_length=4_000, blank=True)
    inquiry_kept_months = models.PositiveSmallIntegerField(default=12)
    sends_reminders = models.BooleanField(default=True)

    class Meta:
        abstract = True

    def agreement(self) -> plain.Agreement:
        """What is agreed beside the cake (one query)."""
        return plain.Agreement(
            cancelling=tuple(step.as_value() for step in CancellationStep.objects.all()),
            changes_until_days=self.changes_until_days,
            count_until_days=self.count_until_days,
            risk_words=self.risk_words,
            photo_words=self.photo_words,
            withdrawal_words=self.withdrawal_words,
            place=self.place_of_law,
        )


class CancellationStep(models.Model):
    """What an order cancelled so many days before hand-over costs, as a share of its total."""

    days_before = models.PositiveSmallIntegerField(unique=True)
    share = models.DecimalField(max_digits=5, decimal_places=4)

    class Meta:
        ordering = ("-days_before",)
        constraints = (
            models.CheckConstraint(
                condition=Q(share__gte=0, share__lte=1), name="cancelling_share_0_to_1"
            ),
        )

    def __str__(self) -> str:
        return f"{self.days_before} days before"

    def as_value(self) -> plain.CancelStep:
        return plain.CancelStep(self.days_before, trimmed(self.share))
