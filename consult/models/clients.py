"""What the client does from home: inquiries, private links, designs sent to choose from, remarks."""

from django.conf import settings
from django.db import models

from consult.models.consultations import Consultation
from consult.models.sheets import Sheet
from shop.models import Sealed


class Purpose(models.TextChoices):
    """What a private link is good for, and nothing else."""

    DESIGNS = "designs", "look at designs, comment, choose one"
    SHEET = "sheet", "read a design sheet and sign it"
    PAY = "pay", "see what to pay, by when and how"


class DesignsSent(Sealed):
    """Up to three designs as the client was sent them: drawing, servings and price as they were then."""

    consultation = models.ForeignKey(Consultation, on_delete=models.PROTECT, related_name="sent")
    of_revision = models.PositiveIntegerField()
    body = models.JSONField()
    words = models.TextField(max_length=2_000, blank=True)
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    sent_at = models.DateTimeField()

    class Meta:
        ordering = ("pk",)

    def __str__(self) -> str:
        return f"{self.consultation_id} designs of revision {self.of_revision}"


class PrivateLink(models.Model):
    """A way in for one client and one purpose. Only the SHA-256 of its token is kept."""

    consultation = models.ForeignKey(Consultation, on_delete=models.CASCADE, related_name="links")
    purpose = models.CharField(max_length=10, choices=Purpose)
    token_sha256 = models.CharField(max_length=64, unique=True)
    sheet = models.ForeignKey(Sheet, on_delete=models.PROTECT, related_name="links", null=True)
    designs = models.ForeignKey(
        DesignsSent, on_delete=models.PROTECT, related_name="links", null=True
    )
    to = models.CharField(max_length=254, blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True
    )
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)
    first_used_at = models.DateTimeField(null=True)
    last_used_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("-pk",)

    def __str__(self) -> str:
        return f"{self.consultation_id} {self.purpose}"


class Remark(models.Model):
    """What the client, or the shop in answer, says of a design."""

    class Kind(models.TextChoices):
        COMMENT = "comment", "comment"
        CHANGE = "change", "asks for a change"
        CHOICE = "choice", "chooses this one"
        ANSWER = "answer", "answer of the shop"

    consultation = models.ForeignKey(Consultation, on_delete=models.CASCADE, related_name="remarks")
    link = models.ForeignKey(PrivateLink, on_delete=models.PROTECT, related_name="+", null=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True
    )
    letter = models.CharField(max_length=1, blank=True)
    kind = models.CharField(max_length=10, choices=Kind)
    words = models.TextField(max_length=2_000, blank=True)
    at = models.DateTimeField()
    settled_at = models.DateTimeField(null=True)  # the shop has seen to it

    class Meta:
        ordering = ("pk",)

    def __str__(self) -> str:
        return f"{self.kind}: {self.words[:40]}"


class Inquiry(Sealed):
    """What came in from the public page, as it was sent, and what the client was told."""

    consultation = models.OneToOneField(
        Consultation, on_delete=models.PROTECT, related_name="inquiry"
    )
    said = models.JSONField()
    price_from_minor = models.BigIntegerField(null=True)
    price_to_minor = models.BigIntegerField(null=True)
    currency = models.CharField(max_length=3)
    told = models.TextField(blank=True)  # what was said of the data
    sent_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"inquiry of {self.consultation_id}"


class InquiryDraft(models.Model):
    """An inquiry that is still being filled in, known by the SHA-256 of a cookie's token."""

    token_sha256 = models.CharField(max_length=64, unique=True)
    answers = models.JSONField(default=dict)
    photos = models.JSONField(default=list)
    started_at = models.DateTimeField()
    changed_at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        return f"draft of {self.started_at:%Y-%m-%d}"


class Tally(models.Model):
    """How often something was done in a window of time, for limits that hold under load."""

    key = models.CharField(max_length=120)
    window = models.DateTimeField(db_index=True)
    count = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("key", "window"), name="one_tally_a_window"),
        )

    def __str__(self) -> str:
        return f"{self.key} {self.count}"
