"""What was agreed: design sheets, signatures, the sealed contract. None is ever changed or deleted."""

from django.conf import settings
from django.db import models

from consult.models.consultations import Consultation
from shop.models import Sealed


class Sheet(Sealed):
    """A design sheet as it was made. Never changed, never deleted: a later one has the next revision."""

    consultation = models.ForeignKey(Consultation, on_delete=models.PROTECT, related_name="sheets")
    revision = models.PositiveIntegerField()
    letter = models.CharField(max_length=1)
    of_revision = (
        models.PositiveIntegerField()
    )  # of the consultation, right after the sheet was made
    body = models.JSONField()
    fingerprint = models.CharField(max_length=64)
    pdf_sha256 = models.CharField(max_length=64)
    changes = models.JSONField(default=list)  # in words, against the sheet signed before
    bench = models.JSONField(default=list)  # [[ISO date, minutes]] the work would take
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True
    )

    class Meta:
        ordering = ("revision",)
        constraints = (
            models.UniqueConstraint(
                fields=("consultation", "revision"), name="one_sheet_a_revision"
            ),
        )

    def __str__(self) -> str:
        return f"{self.consultation_id} sheet {self.revision}"


class Signature(Sealed):
    """That a sheet was signed, by whom and how. Never changed, never deleted; one to a sheet."""

    sheet = models.OneToOneField(Sheet, on_delete=models.PROTECT, related_name="signature")
    name = models.CharField(max_length=200)
    how = models.CharField(max_length=40)
    strokes = models.JSONField(default=list)
    consent = models.TextField()
    consent_version = models.CharField(max_length=40)
    signed_at = models.DateTimeField()
    signed_at_local = models.CharField(max_length=120)
    witness = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True
    )
    address = models.GenericIPAddressField(null=True)
    browser = models.CharField(max_length=300, blank=True)
    fingerprint = models.CharField(max_length=64)
    link = models.ForeignKey(  # where it was signed by a private link
        "consult.PrivateLink", on_delete=models.PROTECT, related_name="+", null=True
    )
    photo_permission = models.BooleanField(null=True)  # None: not asked
    pdf_sha256 = models.CharField(max_length=64)

    def __str__(self) -> str:
        return f"{self.name}, {self.signed_at_local}"


class Contract(Sealed):
    """The signed sheet with its terms and evidence as one paper under the shop's seal; one to a sheet."""

    sheet = models.OneToOneField(Sheet, on_delete=models.PROTECT, related_name="contract")
    body = models.JSONField()
    fingerprint = models.CharField(max_length=64)
    pdf_sha256 = models.CharField(max_length=64, unique=True)  # of the file as sealed
    certificate_sha256 = models.CharField(max_length=64)
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"contract of {self.sheet}"
