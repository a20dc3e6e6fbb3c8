"""Who is the shop, and what has its owner decided? One row with what hangs on it, and the terms by version."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.core import policies as plain
from shop.core.measures import Units
from shop.core.money import Money
from shop.models.agreement import AgreementColumns
from shop.models.catalogue import UNITS, trimmed
from shop.models.kitchen import KitchenColumns
from shop.models.sealed import Sealed

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MINUTES_A_DAY = 24 * 60


def _share(**kwargs) -> models.DecimalField:
    return models.DecimalField(max_digits=5, decimal_places=4, **kwargs)


def _length(**kwargs) -> models.DecimalField:
    return models.DecimalField(max_digits=8, decimal_places=3, **kwargs)


def _between(least: int, most: int, *names: str) -> Q:
    return Q(**{f"{name}__gte": least for name in names} | {f"{name}__lte": most for name in names})


class Shop(KitchenColumns, AgreementColumns):
    """The one shop. Amounts are minor units of `currency`, lengths millimetres, shares 0 to 1."""

    name = models.CharField(max_length=120)
    address = models.CharField(max_length=300, blank=True)
    phone = models.CharField(max_length=60, blank=True)
    email = models.EmailField(blank=True)
    currency = models.CharField(max_length=3)
    units = models.CharField(max_length=2, choices=UNITS)
    paper = models.CharField(
        max_length=8, choices=[(paper.value, paper.value) for paper in plain.Paper]
    )
    regime = models.CharField(
        max_length=4, choices=[(regime.value, regime.value) for regime in plain.Regime]
    )
    locale = models.CharField(max_length=20, default="en_US")
    time_zone = models.CharField(max_length=60, default="UTC")
    iban = models.CharField(max_length=34, blank=True)
    bic = models.CharField(max_length=11, blank=True)
    account_name = models.CharField(max_length=70, blank=True)
    how_to_pay = models.TextField(max_length=600, blank=True)

    price_per_serving = models.BigIntegerField()
    minimum_order = models.BigIntegerField(default=0)
    kitchen_cake_share = _share(default=1)
    deposit_share = _share()
    deposit_due_days = models.PositiveSmallIntegerField()
    balance_due_days = models.PositiveSmallIntegerField()
    quote_holds_days = models.PositiveSmallIntegerField()
    least_notice_days = models.PositiveSmallIntegerField()
    delivery_base = models.BigIntegerField(default=0)
    delivery_included_km = models.DecimalField(max_digits=6, decimal_places=1, default=0)
    delivery_per_km = models.BigIntegerField(default=0)
    delivery_set_up = models.BigIntegerField(default=0)
    delivery_furthest_km = models.DecimalField(max_digits=6, decimal_places=1, default=0)
    delivery_km_an_hour = models.DecimalField(max_digits=5, decimal_places=1, default=40)
    tax_name = models.CharField(max_length=40, blank=True)
    tax_share = _share(default=0)
    tax_included = models.BooleanField(default=False)
    hour_costs = models.BigIntegerField(default=0)
    overhead_share = _share(default=0)
    may_contain = models.JSONField(default=list, blank=True)

    ledge_mm = _length()
    widest_step_mm = _length()
    most_tiers = models.PositiveSmallIntegerField()
    tallest_mm = _length()
    widest_board_mm = _length()
    board_margin_mm = _length()
    one_person_lifts_grams = models.PositiveIntegerField()

    monday_minutes = models.PositiveSmallIntegerField(default=0)
    tuesday_minutes = models.PositiveSmallIntegerField(default=0)
    wednesday_minutes = models.PositiveSmallIntegerField(default=0)
    thursday_minutes = models.PositiveSmallIntegerField(default=0)
    friday_minutes = models.PositiveSmallIntegerField(default=0)
    saturday_minutes = models.PositiveSmallIntegerField(default=0)
    sunday_minutes = models.PositiveSmallIntegerField(default=0)
    bake_days_before = models.PositiveSmallIntegerField(default=3)
    hand_over_from = models.TimeField()
    hand_over_until = models.TimeField()

    # A shop to play with may be replaced by the sample; one that its owner has touched may not.
    is_sample = models.BooleanField(default=False)

    class Meta:
        constraints = (
            models.CheckConstraint(condition=Q(pk=1), name="one_shop"),
            models.CheckConstraint(
                condition=_between(
                    0, 1, "deposit_share", "tax_share", "overhead_share", "kitchen_cake_share"
                ),
                name="shares_0_to_1",
            ),
            models.CheckConstraint(
                condition=Q(
                    price_per_serving__gte=0,
                    minimum_order__gte=0,
                    delivery_base__gte=0,
                    delivery_per_km__gte=0,
                    delivery_set_up__gte=0,
                    hour_costs__gte=0,
                ),
                name="amounts_not_below_zero",
            ),
            models.CheckConstraint(
                condition=Q(
                    delivery_included_km__gte=0,
                    delivery_furthest_km__gte=0,
                    delivery_km_an_hour__gt=0,
                ),
                name="distances_not_below_zero",
            ),
            models.CheckConstraint(
                condition=Q(
                    ledge_mm__gte=0,
                    widest_step_mm__gte=models.F("ledge_mm"),
                    most_tiers__gte=1,
                    tallest_mm__gt=0,
                    widest_board_mm__gt=0,
                    board_margin_mm__gte=0,
                    one_person_lifts_grams__gt=0,
                ),
                name="limits_of_stacks_make_sense",
            ),
            models.CheckConstraint(
                condition=_between(0, MINUTES_A_DAY, *(f"{day}_minutes" for day in WEEKDAYS)),
                name="bench_minutes_fit_in_a_day",
            ),
            models.CheckConstraint(
                condition=Q(
                    rod_mm__gt=0,
                    wall_mm__gt=0,
                    safety__gte=1,
                    uneven__gte=1,
                    drum_mm__gte=0,
                    under_board_mm__gte=0,
                    door_mm__gt=0,
                    box_room_mm__gte=0,
                ),
                name="supports_make_sense",
            ),
            models.CheckConstraint(
                condition=Q(
                    hands__gte=1, oven_shelves__gte=1, oven_loads__gte=1, fridge_places__gte=1
                )
                & _between(0, 1, "batter_loss", "least_margin"),
                name="kitchen_makes_sense",
            ),
            models.CheckConstraint(
                condition=Q(hand_over_until__gt=models.F("hand_over_from")),
                name="hand_over_ends_after_it_begins",
            ),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def units_value(self) -> Units:
        return Units(self.units)

    def identity(self) -> plain.Identity:
        return plain.Identity(
            name=self.name,
            address=self.address,
            phone=self.phone,
            email=self.email,
            currency=self.currency,
            units=Units(self.units),
            paper=plain.Paper(self.paper),
            regime=plain.Regime(self.regime),
            locale=self.locale,
            time_zone=self.time_zone,
            iban=self.iban,
            bic=self.bic,
            account_name=self.account_name,
            how_to_pay=self.how_to_pay,
            payment_link=self.payment_link,
        )

    def money(self, minor: int) -> Money:
        return Money(minor, self.currency)

    def limits(self) -> plain.StackLimits:
        """The limits of stacks, with the tier heights on offer (one query)."""
        return plain.StackLimits(
            ledge_mm=float(self.ledge_mm),
            widest_step_mm=float(self.widest_step_mm),
            most_tiers=self.most_tiers,
            tallest_mm=float(self.tallest_mm),
            widest_board_mm=float(self.widest_board_mm),
            board_margin_mm=float(self.board_margin_mm),
            one_person_lifts_grams=float(self.one_person_lifts_grams),
            heights_mm=tuple(float(height.height_mm) for height in TierHeight.objects.all()),
        )

    def bench_minutes(self) -> tuple[int, int, int, int, int, int, int]:
        """Monday first."""
        return (
            self.monday_minutes,
            self.tuesday_minutes,
            self.wednesday_minutes,
            self.thursday_minutes,
            self.friday_minutes,
            self.saturday_minutes,
            self.sunday_minutes,
        )

    def hours(self) -> plain.OpenHours:
        """Bench minutes and closed days (one query)."""
        return plain.OpenHours(
            bench_minutes=self.bench_minutes(),
            bake_days_before=self.bake_days_before,
            hand_over_from=f"{self.hand_over_from:%H:%M}",
            hand_over_until=f"{self.hand_over_until:%H:%M}",
            closed_days=frozenset(day.on.isoformat() for day in ClosedDay.objects.all()),
        )

    def policies(self) -> plain.Policies:
        """Every number that is not in the catalogue (four queries)."""
        return plain.Policies(
            price_per_serving=self.money(self.price_per_serving),
            minimum_order=self.money(self.minimum_order),
            deposit_share=trimmed(self.deposit_share),
            deposit_due_days=self.deposit_due_days,
            balance_due_days=self.balance_due_days,
            quote_holds_days=self.quote_holds_days,
            least_notice_days=self.least_notice_days,
            rushes=tuple(rush.as_value(self.currency) for rush in RushFee.objects.all()),
            delivery=plain.Delivery(
                base=self.money(self.delivery_base),
                included_km=trimmed(self.delivery_included_km),
                per_km=self.money(self.delivery_per_km),
                set_up=self.money(self.delivery_set_up),
                furthest_km=trimmed(self.delivery_furthest_km),
                kilometres_an_hour=trimmed(self.delivery_km_an_hour),
            ),
            tax=plain.Tax(self.tax_name, trimmed(self.tax_share), self.tax_included),
            stacks=self.limits(),
            hours=self.hours(),
            hour_costs=self.money(self.hour_costs),
            overhead_share=trimmed(self.overhead_share),
            may_contain=frozenset(self.may_contain),
            supports=self.supports(),
            kitchen=self.kitchen(),
            least_margin=trimmed(self.least_margin),
            agreement=self.agreement(),
            kitchen_cake_share=trimmed(self.kitchen_cake_share),
            rounds=plain.Rounds(self.rounds),
        )


class RushFee(models.Model):
    """Notice shorter than `under_days` costs a share more, at least some amount."""

    under_days = models.PositiveSmallIntegerField(unique=True)
    share = _share()
    least = models.BigIntegerField(default=0)

    class Meta:
        ordering = ("under_days",)
        constraints = (
            models.CheckConstraint(
                condition=Q(under_days__gte=1, share__gte=0, share__lte=1, least__gte=0),
                name="rush_share_and_least",
            ),
        )

    def __str__(self) -> str:
        return f"under {self.under_days} days"

    def as_value(self, currency: str) -> plain.Rush:
        return plain.Rush(self.under_days, trimmed(self.share), Money(self.least, currency))


class TierHeight(models.Model):
    """A height that tiers are made in."""

    height_mm = _length(unique=True)

    class Meta:
        ordering = ("height_mm",)
        constraints = (
            models.CheckConstraint(condition=Q(height_mm__gt=0), name="tier_height_above_zero"),
        )

    def __str__(self) -> str:
        return f"{self.height_mm} mm"


class ClosedDay(models.Model):
    """A day on which nobody bakes and nothing is handed over."""

    on = models.DateField(unique=True)
    why = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ("on",)

    def __str__(self) -> str:
        return self.on.isoformat()


class TermsVersion(Sealed):
    """The small print and the consent sentence, by version. What a client saw stays as it was."""

    version = models.CharField(max_length=20, unique=True)
    text = models.TextField(max_length=20_000)
    consent = models.TextField(max_length=2_000)
    consent_version = models.CharField(max_length=20)
    is_starting_text = models.BooleanField(default=False)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True
    )

    class Meta:
        ordering = ("-pk",)

    def __str__(self) -> str:
        return f"version {self.version}"

    def as_value(self) -> plain.Terms:
        return plain.Terms(self.version, self.text, self.consent, self.consent_version)
