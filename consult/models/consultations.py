"""One order from first word to hand-over, with its designs, pictures and bench days."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from consult.core import design as plain
from shop.core.book import ShopBook, built
from shop.core.catalogue import Shape
from shop.core.money import Money
from shop.models import BookEdition


class State(models.TextChoices):
    """Where a consultation stands, in the trade's words."""

    INQUIRY = "inquiry", "inquiry"
    CONSULTATION = "consultation", "consultation"
    QUOTED = "quoted", "quoted"
    SIGNED = "signed", "signed"
    CONFIRMED = "confirmed", "confirmed"
    IN_THE_KITCHEN = "kitchen", "in the kitchen"
    HANDED_OVER = "handed_over", "handed over"
    DECLINED = "declined", "declined"
    CANCELLED = "cancelled", "cancelled"


# While a consultation is in one of these, its design may still change.
OPEN_STATES = (State.INQUIRY, State.CONSULTATION, State.QUOTED)
# In these its bench hours are taken out of the days before the hand-over.
BOOKED_STATES = (State.SIGNED, State.CONFIRMED, State.IN_THE_KITCHEN)


class Consultation(models.Model):
    """One order from first word to hand-over. `revision` moves with every change."""

    number = models.CharField(max_length=20, unique=True)
    state = models.CharField(max_length=20, choices=State, default=State.CONSULTATION)
    revision = models.PositiveIntegerField(default=1)
    edition = models.ForeignKey(BookEdition, on_delete=models.PROTECT, related_name="+")
    opened_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True
    )
    opened_at = models.DateTimeField()
    changed_at = models.DateTimeField()

    client_name = models.CharField(max_length=200, blank=True)
    client_email = models.EmailField(blank=True)
    client_phone = models.CharField(max_length=60, blank=True)
    occasion = models.CharField(max_length=120, blank=True)
    event_on = models.DateField(null=True, blank=True)
    hand_over_how = models.CharField(
        max_length=12,
        choices=[(how.value, how.value) for how in plain.How],
        default=plain.How.COLLECTION.value,
    )
    hand_over_at = models.TimeField(null=True, blank=True)
    distance_km = models.DecimalField(max_digits=6, decimal_places=1, default=0)
    place = models.CharField(max_length=300, blank=True)
    avoid = models.JSONField(default=list, blank=True)
    notes = models.TextField(blank=True, max_length=4000)

    guests = models.PositiveIntegerField(null=True, blank=True)
    slice = models.CharField(max_length=60, blank=True)
    eating_share = models.DecimalField(max_digits=4, decimal_places=3, default=1)
    spare = models.PositiveIntegerField(default=0)
    keep_top = models.BooleanField(default=False)

    shapes = models.JSONField(default=list, blank=True)
    fewest_tiers = models.PositiveSmallIntegerField(default=1)
    most_tiers = models.PositiveSmallIntegerField(null=True, blank=True)
    heights_mm = models.JSONField(default=list, blank=True)
    kitchen_cake = models.BooleanField(default=False)
    display_tiers = models.PositiveSmallIntegerField(default=0)
    budget_minor = models.BigIntegerField(null=True, blank=True)

    chosen_letter = models.CharField(max_length=1, default="A")

    class Meta:
        ordering = ("-changed_at",)
        constraints = (
            models.CheckConstraint(
                condition=Q(guests__isnull=True) | Q(guests__gte=1, guests__lte=2000),
                name="guests_1_to_2000",
            ),
            models.CheckConstraint(
                condition=Q(eating_share__gt=0, eating_share__lte=1), name="eating_share_0_to_1"
            ),
        )

    def __str__(self) -> str:
        return f"{self.number} {self.client_name}".strip()

    @property
    def is_open(self) -> bool:
        return self.state in OPEN_STATES

    def book(self) -> ShopBook:
        """The shop's prices, catalogue and terms as this client was shown them."""
        return self.edition.as_value()

    def as_brief(self, design: plain.Design) -> plain.Brief:
        """Everything said so far, with the given design."""
        currency = self.book().currency
        return plain.Brief(
            client=plain.Client(self.client_name, self.client_email, self.client_phone),
            event=plain.Event(self.occasion, self.event_on),
            hand_over=plain.HandOver(
                plain.How(self.hand_over_how), self.hand_over_at, self.distance_km, self.place
            ),
            need=plain.Need(
                self.guests or 0, self.slice, self.eating_share, self.spare, self.keep_top
            ),
            limits=plain.Limits(
                shapes=tuple(Shape(shape) for shape in self.shapes),
                fewest_tiers=self.fewest_tiers,
                most_tiers=self.most_tiers,
                heights_mm=tuple(float(height) for height in self.heights_mm),
                kitchen_cake=self.kitchen_cake,
                display_tiers=self.display_tiers,
                budget=None if self.budget_minor is None else Money(self.budget_minor, currency),
            ),
            design=design,
            avoid=frozenset(self.avoid),
            notes=self.notes,
        )


class DesignRow(models.Model):
    """One of up to three designs of a consultation. A design is read and kept whole, so it is one value."""

    consultation = models.ForeignKey(Consultation, on_delete=models.CASCADE, related_name="designs")
    letter = models.CharField(max_length=1, choices=[(letter, letter) for letter in "ABC"])
    body = models.JSONField(default=dict)

    class Meta:
        ordering = ("letter",)
        constraints = (
            models.UniqueConstraint(fields=("consultation", "letter"), name="one_design_a_letter"),
        )

    def __str__(self) -> str:
        return f"{self.consultation_id} design {self.letter}"

    def as_value(self) -> plain.Design:
        """The design without the consultation's photos."""
        value: plain.Design = built(plain.Design, self.body, "design")
        return value


class Photo(models.Model):
    """A picture the client brought, made anew. The bytes lie in the store under their digest."""

    consultation = models.ForeignKey(Consultation, on_delete=models.CASCADE, related_name="photos")
    sha256 = models.CharField(max_length=64)
    thumbnail_sha256 = models.CharField(max_length=64)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    caption = models.CharField(max_length=200, blank=True)
    swatches = models.JSONField(default=list)
    added_at = models.DateTimeField()

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.UniqueConstraint(fields=("consultation", "sha256"), name="a_photo_once"),
        )

    def __str__(self) -> str:
        return self.caption or self.sha256[:12]

    def as_value(self) -> plain.PhotoRef:
        return plain.PhotoRef(
            self.sha256,
            self.caption,
            tuple(built(plain.Swatch, swatch, "swatch") for swatch in self.swatches),
        )


class BenchDay(models.Model):
    """Bench minutes that a signed cake takes on one day."""

    consultation = models.ForeignKey(Consultation, on_delete=models.CASCADE, related_name="bench")
    on = models.DateField(db_index=True)
    minutes = models.PositiveIntegerField()

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("consultation", "on"), name="a_bench_day_once"),
        )

    def __str__(self) -> str:
        return f"{self.on} {self.minutes} min"


class Answered(models.Model):
    """A write that was carried out, by the key its device made: the same key again gets the same answer."""

    actor = models.CharField(max_length=60)
    key = models.CharField(max_length=64)
    asked = models.CharField(max_length=64)  # digest of what was asked
    answer = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("actor", "key"), name="a_key_once"),)

    def __str__(self) -> str:
        return f"{self.actor} {self.key}"
