"""Take in a whole book: the sample shop the first time, or what another copy of the shop gave out."""

from dataclasses import fields
from datetime import time
from typing import Any

from django.db import transaction
from django.utils import timezone

from shop.actions.catalogue import set_recipes
from shop.actions.setup import set_cancelling, set_rush_fees, set_tier_heights
from shop.core import catalogue as plain
from shop.core.book import ShopBook
from shop.core.policies import Agreement, Identity, OpenHours, Policies, StackLimits, Terms
from shop.models import (
    BenchTask,
    ClosedDay,
    Decoration,
    Filling,
    Finish,
    Flavour,
    Ingredient,
    Pan,
    Person,
    Shop,
    SliceSize,
    TermsVersion,
)
from shop.models.catalogue import WithRecipe
from shop.models.setup import WEEKDAYS

# The fields that a row of each kind keeps under the same name as its value.
SAME = {
    SliceSize: ("width_mm", "depth_mm"),
    Ingredient: ("sugar_share", "raw_egg", "pack_grams", "pack_name", "piece_grams"),
    Flavour: ("kind", "batter_g_per_ml"),
    Filling: ("grams_per_ml", "keeps_cool", "water_activity", "ph"),
    Finish: (
        *("kind", "texture", "coat_mm", "grams_per_ml", "lead_days", "takes_colour", "keeps_cool"),
        *("water_activity", "ph"),
    ),
    Decoration: (
        *(
            "symbol",
            "lead_days",
            "is_eaten",
            "comes_off",
            "spare_share",
            "takes_colour",
            "grams_each",
        ),
    ),
    BenchTask: (*("minutes_once", "minutes_each", "applies_to", "waiting_minutes", "after"),),
}


@transaction.atomic
def take_in_book(book: ShopBook, *, by: Person | None = None, is_sample: bool = False) -> Shop:
    """The shop as that book says, and nothing else on its lists: what it leaves out is taken off them.

    Editions that were shown to clients stay as they are.
    """
    shop = _take_in_setup(book, is_sample=is_sample)
    _take_in_terms(book.terms, by=by, is_starting_text=is_sample)
    _take_in_pans(book.pans)
    for model, values in (
        (SliceSize, book.slices),
        (Ingredient, book.ingredients),
        (Flavour, book.flavours),
        (Filling, book.fillings),
        (Finish, book.finishes),
        (Decoration, book.decorations),
        (BenchTask, book.tasks),
    ):
        _take_in_list(model, values)
    return shop


def _take_in_setup(book: ShopBook, *, is_sample: bool) -> Shop:
    values = {
        **_of_identity(book.identity),
        **_of_policies(book.policies),
        **_of_stacks(book.policies.stacks),
        **_of_hours(book.policies.hours),
        **_of_kitchen(book.policies),
        **_of_agreement(book.policies.agreement),
    }
    shop, _ = Shop.objects.update_or_create(pk=1, defaults={**values, "is_sample": is_sample})
    set_rush_fees(shop, rushes=book.policies.rushes)
    set_cancelling(shop, steps=book.policies.agreement.cancelling)
    set_tier_heights(shop, heights_mm=book.policies.stacks.heights_mm)
    ClosedDay.objects.exclude(on__in=book.policies.hours.closed_days).delete()
    for day in sorted(book.policies.hours.closed_days):
        ClosedDay.objects.get_or_create(on=day)
    return shop


def _of_agreement(agreement: Agreement) -> dict[str, Any]:
    names = (
        *("changes_until_days", "count_until_days"),
        *("risk_words", "photo_words", "withdrawal_words"),
    )
    return {
        **{name: getattr(agreement, name) for name in names},
        "place_of_law": agreement.place,
    }


def _of_kitchen(policies: Policies) -> dict[str, Any]:
    supports = {
        field.name: getattr(policies.supports, field.name) for field in fields(policies.supports)
    }
    kitchen = {
        field.name: getattr(policies.kitchen, field.name) for field in fields(policies.kitchen)
    }
    supports["under_board_mm"] = supports.pop("board_mm")
    rest = {"least_margin": policies.least_margin, "rounds": policies.rounds}
    return {**supports, **kitchen, **rest}


def _of_identity(identity: Identity) -> dict[str, Any]:
    names = (
        *("name", "address", "phone", "email", "currency", "units", "paper", "regime", "locale"),
        *("time_zone", "iban", "bic", "account_name", "how_to_pay", "payment_link"),
    )
    return {name: getattr(identity, name) for name in names}


def _of_policies(policies: Policies) -> dict[str, Any]:
    delivery, tax = policies.delivery, policies.tax
    same = (
        *("deposit_share", "deposit_due_days", "balance_due_days", "quote_holds_days"),
        *("least_notice_days", "overhead_share", "kitchen_cake_share"),
    )
    return {
        **{name: getattr(policies, name) for name in same},
        "price_per_serving": policies.price_per_serving.minor,
        "minimum_order": policies.minimum_order.minor,
        "hour_costs": policies.hour_costs.minor,
        "may_contain": sorted(policies.may_contain),
        "delivery_base": delivery.base.minor,
        "delivery_included_km": delivery.included_km,
        "delivery_per_km": delivery.per_km.minor,
        "delivery_set_up": delivery.set_up.minor,
        "delivery_furthest_km": delivery.furthest_km,
        "delivery_km_an_hour": delivery.kilometres_an_hour,
        "tax_name": tax.name,
        "tax_share": tax.share,
        "tax_included": tax.included,
    }


def _of_stacks(stacks: StackLimits) -> dict[str, Any]:
    names = (
        *("ledge_mm", "widest_step_mm", "most_tiers", "tallest_mm", "widest_board_mm"),
        "board_margin_mm",
    )
    values = {name: getattr(stacks, name) for name in names}
    return {**values, "one_person_lifts_grams": round(stacks.one_person_lifts_grams)}


def _of_hours(hours: OpenHours) -> dict[str, Any]:
    days = zip(WEEKDAYS, hours.bench_minutes, strict=True)
    return {
        **{f"{day}_minutes": minutes for day, minutes in days},
        "bake_days_before": hours.bake_days_before,
        "hand_over_from": time.fromisoformat(hours.hand_over_from),
        "hand_over_until": time.fromisoformat(hours.hand_over_until),
    }


def _take_in_terms(terms: Terms, *, by: Person | None, is_starting_text: bool) -> None:
    """The same words in force stay; a version number that other words have here gets another one."""
    in_force = TermsVersion.objects.first()
    if in_force is not None and in_force.as_value() == terms:
        return
    version, number = terms.version, 2
    while TermsVersion.objects.filter(version=version).exists():
        version, number = f"{terms.version}-{number}", number + 1
    TermsVersion.objects.create(
        version=version,
        text=terms.text,
        consent=terms.consent,
        consent_version=terms.consent_version,
        is_starting_text=is_starting_text,
        made_at=timezone.now(),
        made_by=by,
    )


def _take_in_pans(pans: tuple[plain.Pan, ...]) -> None:
    """A pan owned before, of the same size and depth, is the same row with another count."""
    there = {_measures(row.as_value()): row for row in Pan.objects.all()}
    Pan.objects.update(is_offered=False)
    rows = [there.get(_measures(pan)) or Pan(**_columns_of_pan(pan)) for pan in pans]
    for row, pan in zip(rows, pans, strict=True):
        row.owned, row.is_offered = pan.owned, True
    Pan.objects.bulk_create([row for row in rows if row.pk is None])
    Pan.objects.bulk_update([row for row in rows if row.pk], ["owned", "is_offered"])


def _measures(pan: plain.Pan) -> tuple[Any, ...]:
    return (pan.shape, pan.size, pan.width, pan.depth, pan.units)


def _columns_of_pan(pan: plain.Pan) -> dict[str, Any]:
    names = ("shape", "size", "width", "depth", "units")
    return {name: getattr(pan, name) for name in names}


def _take_in_list(model: Any, values: tuple[Any, ...]) -> None:
    """Rows by code: those there get the value's columns, the others are new, the rest goes off the list."""
    rows = [
        model(
            code=value.code,
            name=value.name,
            position=position,
            is_offered=True,
            **{name: getattr(value, name) for name in SAME[model]},
            **_other_columns(value),
        )
        for position, value in enumerate(values, start=1)
    ]
    names = [
        field.name for field in model._meta.concrete_fields if field.name not in ("id", "code")
    ]
    model.objects.update(is_offered=False)
    rows = model.objects.bulk_create(
        rows, update_conflicts=True, unique_fields=["code"], update_fields=names
    )
    if issubclass(model, WithRecipe):
        set_recipes({row: value.recipe.lines for row, value in zip(rows, values, strict=True)})


def _other_columns(value: Any) -> dict[str, Any]:
    """What a row keeps in another form than its value does: amounts, sets, rates."""
    columns: dict[str, Any] = {}
    for name in ("cost_per_kg", "price_per_serving"):
        if hasattr(value, name):
            columns[name] = getattr(value, name).minor
    for name in ("contains", "may_contain", "cautions"):
        if hasattr(value, name):
            columns[name] = sorted(getattr(value, name))
    if hasattr(value, "driver"):
        columns["driver"] = value.driver
    if hasattr(value, "rate"):
        rate = value.rate
        columns |= {
            "driver": rate.driver,
            "minutes_once": rate.minutes_once,
            "minutes_each": rate.minutes_each,
            "waiting_minutes": rate.waiting_minutes,
            "price_once": rate.price_once.minor,
            "price_each": rate.price_each.minor,
            "cost_each": rate.cost_each.minor,
        }
    return columns
