"""Every change of who the shop is, what it charges, when it works and under which terms."""

from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils import timezone

from shop.actions.catalogue import columns
from shop.core.money import half_up, minor_digits
from shop.core.policies import CancelStep, Rush
from shop.models import (
    CancellationStep,
    ClosedDay,
    Decoration,
    Filling,
    Finish,
    Flavour,
    Ingredient,
    Person,
    RushFee,
    Shop,
    TermsVersion,
    TierHeight,
)

# Every column that holds an amount, so that a change of currency can go through all of them.
AMOUNTS = {
    Shop: (
        "price_per_serving",
        "minimum_order",
        "delivery_base",
        "delivery_per_km",
        "delivery_set_up",
        "hour_costs",
    ),
    RushFee: ("least",),
    Ingredient: ("cost_per_kg",),
    Flavour: ("price_per_serving",),
    Filling: ("price_per_serving",),
    Finish: ("price_once", "price_each", "cost_each"),
    Decoration: ("price_once", "price_each", "cost_each"),
}


@transaction.atomic
def change_shop(shop: Shop, **values: Any) -> Shop:
    """Other values in the shop's own row. A new currency keeps every figure: 5.50 stays 5.50."""
    changed = columns(values)
    before = shop.currency
    for name, value in changed.items():
        setattr(shop, name, value)
    shop.is_sample = False
    shop.save(update_fields=[*changed, "is_sample"])
    if minor_digits(before) != minor_digits(shop.currency):
        _rescale_amounts(minor_digits(shop.currency) - minor_digits(before))
        shop.refresh_from_db()
    return shop


def _rescale_amounts(digits: int) -> None:
    """Amounts keep their figure in a currency with more or fewer digits after the point (half up)."""
    for model, names in AMOUNTS.items():
        for row in model.objects.all():
            for name in names:
                setattr(row, name, half_up(Decimal(getattr(row, name)).scaleb(digits)))
            row.save(update_fields=list(names))


@transaction.atomic
def set_rush_fees(shop: Shop, *, rushes: Iterable[Rush]) -> None:
    """These fees for short notice, in place of those there were."""
    RushFee.objects.all().delete()
    for rush in rushes:
        RushFee.objects.create(under_days=rush.under_days, share=rush.share, least=rush.least.minor)


@transaction.atomic
def set_cancelling(shop: Shop, *, steps: Iterable[CancelStep]) -> None:
    """This schedule for cancelling, in place of the one there was."""
    CancellationStep.objects.all().delete()
    CancellationStep.objects.bulk_create(
        CancellationStep(days_before=step.days_before, share=step.share) for step in steps
    )


@transaction.atomic
def set_tier_heights(shop: Shop, *, heights_mm: Iterable[Decimal]) -> None:
    """Tiers are made in these heights and no others."""
    TierHeight.objects.all().delete()
    TierHeight.objects.bulk_create(
        TierHeight(height_mm=height) for height in sorted(set(heights_mm))
    )


@transaction.atomic
def close_days(first: date, *, last: date, why: str = "") -> list[ClosedDay]:
    """Nobody bakes and nothing is handed over from the first to the last day. Saying it again changes why."""
    return [
        ClosedDay.objects.update_or_create(on=first + timedelta(days=ahead), defaults={"why": why})[
            0
        ]
        for ahead in range((last - first).days + 1)
    ]


@transaction.atomic
def open_day(day: ClosedDay) -> None:
    """That day is an ordinary one again."""
    day.delete()


@transaction.atomic
def issue_terms(text: str, *, consent: str, by: Person | None, is_starting_text: bool = False):
    """A new version of the terms, in force from now. The consent sentence gets a new version only if it changed.

    The same words as those in force make no new version.
    """
    last = TermsVersion.objects.first()
    if last and (last.text, last.consent) == (text, consent):
        return last
    if last and last.consent == consent:
        consent_version = last.consent_version
    else:
        consent_version = str(int(last.consent_version) + 1) if last else "1"
    return TermsVersion.objects.create(
        version=str(int(last.version) + 1) if last else "1",
        text=text,
        consent=consent,
        consent_version=consent_version,
        is_starting_text=is_starting_text,
        made_at=timezone.now(),
        made_by=by,
    )
