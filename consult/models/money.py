"""Money asked for, received, given back; whole minor units. What was noted in error is voided, never changed."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from consult.models.consultations import Consultation
from consult.models.sheets import Sheet
from shop.core.money import Money
from shop.models import Sealed


class DepositAsked(Sealed):
    """A deposit request as it was made for a signed sheet."""

    sheet = models.OneToOneField(Sheet, on_delete=models.PROTECT, related_name="deposit")
    body = models.JSONField()
    reference = models.CharField(max_length=25)
    amount_minor = models.BigIntegerField()
    currency = models.CharField(max_length=3)
    due_on = models.DateField()
    pdf_sha256 = models.CharField(max_length=64)
    asked_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.reference

    @property
    def amount(self) -> Money:
        return Money(self.amount_minor, self.currency)


class BalanceAsked(Sealed):
    """A request for what is still to pay, as it was made; there may be several as payments come in."""

    sheet = models.ForeignKey(Sheet, on_delete=models.PROTECT, related_name="balances")
    place = models.PositiveSmallIntegerField()
    body = models.JSONField()
    reference = models.CharField(max_length=25)
    amount_minor = models.BigIntegerField()
    currency = models.CharField(max_length=3)
    due_on = models.DateField()
    pdf_sha256 = models.CharField(max_length=64)
    asked_at = models.DateTimeField()

    class Meta:
        ordering = ("place",)
        constraints = (
            models.UniqueConstraint(fields=("sheet", "place"), name="one_balance_a_place"),
        )

    def __str__(self) -> str:
        return f"{self.reference} {self.place}"

    @property
    def amount(self) -> Money:
        return Money(self.amount_minor, self.currency)


class Payment(Sealed):
    """Money that came in."""

    consultation = models.ForeignKey(
        Consultation, on_delete=models.PROTECT, related_name="payments"
    )
    amount_minor = models.BigIntegerField()
    currency = models.CharField(max_length=3)
    received_on = models.DateField()
    means = models.CharField(max_length=60)
    noted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    noted_at = models.DateTimeField()

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.CheckConstraint(condition=Q(amount_minor__gt=0), name="payment_above_zero"),
        )

    def __str__(self) -> str:
        return f"{self.amount} {self.means}"

    @property
    def amount(self) -> Money:
        return Money(self.amount_minor, self.currency)


class Refund(Sealed):
    """Money that was given back."""

    consultation = models.ForeignKey(Consultation, on_delete=models.PROTECT, related_name="refunds")
    amount_minor = models.BigIntegerField()
    currency = models.CharField(max_length=3)
    paid_on = models.DateField()
    means = models.CharField(max_length=60)
    why = models.CharField(max_length=300)
    noted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    noted_at = models.DateTimeField()

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.CheckConstraint(condition=Q(amount_minor__gt=0), name="refund_above_zero"),
        )

    def __str__(self) -> str:
        return f"{self.amount} back by {self.means}"

    @property
    def amount(self) -> Money:
        return Money(self.amount_minor, self.currency)


class Voided(Sealed):
    """That a payment or a refund was noted in error: it no longer counts."""

    payment = models.OneToOneField(
        Payment, on_delete=models.PROTECT, related_name="voided", null=True
    )
    refund = models.OneToOneField(
        Refund, on_delete=models.PROTECT, related_name="voided", null=True
    )
    why = models.CharField(max_length=300)
    noted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    noted_at = models.DateTimeField()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(payment__isnull=True) ^ Q(refund__isnull=True),
                name="voids_one_of_both",
            ),
        )

    def __str__(self) -> str:
        return f"void: {self.why}"


class Receipt(Sealed):
    """The paper for one payment or one refund."""

    number = models.CharField(max_length=30, unique=True)
    payment = models.OneToOneField(
        Payment, on_delete=models.PROTECT, related_name="receipt", null=True
    )
    refund = models.OneToOneField(
        Refund, on_delete=models.PROTECT, related_name="receipt", null=True
    )
    body = models.JSONField()
    pdf_sha256 = models.CharField(max_length=64)
    made_at = models.DateTimeField()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(payment__isnull=True) ^ Q(refund__isnull=True),
                name="a_receipt_for_one_of_both",
            ),
        )

    def __str__(self) -> str:
        return self.number


class Cancellation(Sealed):
    """That a signed order was cancelled, and what that came to by the schedule agreed."""

    consultation = models.OneToOneField(
        Consultation, on_delete=models.PROTECT, related_name="cancellation"
    )
    sheet = models.ForeignKey(Sheet, on_delete=models.PROTECT, related_name="+")
    cancelled_on = models.DateField()
    by_client = models.BooleanField()
    why = models.CharField(max_length=300, blank=True)
    body = models.JSONField()  # how it was worked out
    kept_minor = models.BigIntegerField()
    back_minor = models.BigIntegerField()
    currency = models.CharField(max_length=3)
    pdf_sha256 = models.CharField(max_length=64)
    noted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    noted_at = models.DateTimeField()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(kept_minor__gte=0, back_minor__gte=0), name="cancelling_not_below_zero"
            ),
        )

    def __str__(self) -> str:
        return f"{self.consultation_id} cancelled on {self.cancelled_on}"
