"""What do we charge for this cake? Priced lines that add up to the total, the deposit, the balance and their dates.

Every line is rounded once, half up, to the currency's minor unit. A tier is one line; a decoration on
several tiers is one line too, the sum of what it comes to on each, so that tiers can be priced alone.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from consult.core import choices
from consult.core.choices import Place
from consult.core.deposit import balance_due, deposit_due, deposit_of
from consult.core.design import Brief, ChosenDecoration, How, Kind, KitchenCake, Problem, Tier
from consult.core.stack_rules import tier_name
from consult.core.work import servings_made
from shop.core.book import ShopBook
from shop.core.catalogue import Decoration, Driver
from shop.core.measures import number
from shop.core.money import Money, half_up, total
from shop.core.policies import Rush


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One price line. `kind`: tier, decoration, kitchen cake, minimum, rush, delivery, tax."""

    what: str
    amount: Money
    why: str
    kind: str


@dataclass(frozen=True, slots=True)
class Quote:
    """What the client is asked to pay, when, and how long that offer stands.

    `balance_due` is None while there is no date. Nothing in it tells what the cake costs the shop.
    """

    currency: str
    lines: tuple[QuoteLine, ...]
    total: Money
    deposit: Money
    deposit_due: date
    balance: Money
    balance_due: date | None
    holds_until: date
    tax_words: str
    problems: tuple[Problem, ...]


def tier_price(tier: Tier, servings: int, book: ShopBook) -> Money:
    """The price of one tier with its flavour, filling and finish, rounded once.

    `servings` are those the tier would give, whether counted or kept; of a display tier only the
    finish is priced.
    """
    return _price(tier, servings, Decimal(1), book)


def kitchen_cake_price(cake: KitchenCake, servings: int, book: ShopBook) -> Money:
    """The price of one kitchen cake that gives so many servings, rounded once.

    Its servings cost the share that the shop set of any other's; its coat costs what the coat does.
    """
    return _price(choices.as_tier(cake), servings, book.policies.kitchen_cake_share, book)


def _price(tier: Tier, servings: int, share: Decimal, book: ShopBook) -> Money:
    each = Money.zero(book.currency)
    if tier.is_cake:
        each = (
            book.policies.price_per_serving
            + choices.flavour_of(tier, book).price_per_serving
            + choices.filling_of(tier, book).price_per_serving
        )
    rate = choices.finish_of(tier, book).rate
    units = choices.units_of(rate.driver, tier, servings)
    minor = each.minor * servings * share + rate.price_once.minor + rate.price_each.minor * units
    return Money(half_up(Decimal(minor)), book.currency)


def decoration_price_on(
    chosen: ChosenDecoration, thing: Decoration, tier: Tier, place: Place, servings: int
) -> Money:
    """What a decoration comes to on the tier of that place, rounded once; nothing where it is not."""
    rate = thing.rate
    if chosen.count < 1 or not choices.is_on(chosen, thing, place):
        return Money.zero(rate.price_each.currency)
    units = choices.units_of(rate.driver, tier, servings) * chosen.count
    once = rate.price_once.minor if choices.is_first_of(chosen, place) else 0
    return Money(half_up(once + rate.price_each.minor * units), rate.price_each.currency)


def decoration_price_once(chosen: ChosenDecoration, thing: Decoration) -> Money:
    """What a decoration of the whole cake comes to, whatever the stack; nothing for any other."""
    rate = thing.rate
    if chosen.count < 1 or chosen.tier is not None or choices.goes_on_every_tier(chosen, thing):
        return Money.zero(rate.price_each.currency)
    return Money(rate.price_once.minor + rate.price_each.minor * chosen.count,
                 rate.price_each.currency)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Extras:
    """What comes on top of the cake's own lines. `tax_within` is already in the prices."""

    top_up: Money
    rush: Money
    delivery: Money
    tax: Money
    tax_within: Money


def rush_of(cake: Money, book: ShopBook, notice: int | None) -> tuple[Rush | None, Money]:
    """The dearest rush rule that an order with so many days' notice falls under, and its amount.

    A share of the cake's own lines, at least the rule's least. Without a date there is no rush.
    """
    nothing = Money.zero(book.currency)
    if notice is None:
        return None, nothing
    matching = [rush for rush in book.policies.rushes if notice < rush.under_days]
    priced = [(max(cake.times(rush.share), rush.least), rush) for rush in matching]
    if not priced:
        return None, nothing
    amount, rush = max(priced, key=lambda one: one[0])
    return rush, amount


def delivery_of(brief: Brief, book: ShopBook) -> Money:
    """Delivery and set-up, rounded once; nothing for a cake that is collected."""
    policy = book.policies.delivery
    if brief.hand_over.how is not How.DELIVERY:
        return Money.zero(book.currency)
    beyond = max(brief.hand_over.distance_km - policy.included_km, Decimal(0))
    return policy.base + policy.set_up + policy.per_km.times(beyond)


def extras_of(cake: Money, brief: Brief, book: ShopBook, notice: int | None) -> Extras:
    """All that comes on top of a cake price. Each part and their sum never fall as `cake` rises."""
    nothing = Money.zero(book.currency)
    top_up = max(book.policies.minimum_order - cake, nothing)
    _, rush = rush_of(cake, book, notice)
    delivery = delivery_of(brief, book)
    charged, tax = cake + top_up + rush + delivery, book.policies.tax
    if tax.included:
        return Extras(top_up, rush, delivery, nothing, charged.times(tax.share / (1 + tax.share)))
    return Extras(top_up, rush, delivery, charged.times(tax.share), nothing)


def notice_days(brief: Brief, today: date) -> int | None:
    """Days from today to hand-over; None while there is no date."""
    return None if brief.event.on is None else (brief.event.on - today).days


def total_of(cake: Money, brief: Brief, book: ShopBook, notice: int | None) -> Money:
    """The whole total for a cake price: what `quote_of` comes to, without its words."""
    extras = extras_of(cake, brief, book, notice)
    return cake + extras.top_up + extras.rush + extras.delivery + extras.tax


def cake_lines(brief: Brief, book: ShopBook) -> tuple[QuoteLine, ...]:
    """The cake's own lines: each tier from the base up, each decoration, the kitchen cakes."""
    design = brief.design
    tiers = [
        _tier_line(at, tier, servings_made(tier, brief, book), book)
        for at, tier in enumerate(design.tiers)
    ]
    decorations = [
        line for chosen in design.decorations for line in decoration_lines(chosen, brief, book)
    ]
    cakes = [_kitchen_line(cake, brief, book) for cake in design.kitchen_cakes if cake.count > 0]
    return (*tiers, *decorations, *cakes)


def _of_servings(tier: Tier, servings: int, book: ShopBook) -> str:
    """How a tier's price comes about, in words."""
    locale, units = book.identity.locale, book.identity.units
    said = []
    if tier.is_cake:
        plain = book.policies.price_per_serving.written(locale)
        said.append(f"{_counted(servings, 'serving')} at {plain}")
        flavour, filling = choices.flavour_of(tier, book), choices.filling_of(tier, book)
        for name, more in (
            (flavour.name, flavour.price_per_serving),
            (filling.name, filling.price_per_serving),
        ):
            if more:
                said.append(f"{more.written(locale)} a serving more for {name}")
    finish = choices.finish_of(tier, book)
    measured = choices.units_of(finish.rate.driver, tier, servings)
    words = choices.price_in_words(finish.rate, measured, units, locale)
    said.append(f"{finish.name}: {words or 'no extra'}")
    return ". ".join([", ".join(said[:-1]), said[-1]] if said[:-1] else said) + "."


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _tier_line(at: int, tier: Tier, servings: int, book: ShopBook) -> QuoteLine:
    what = f"Tier {at + 1}, {tier_name(tier, book.identity.units)}"
    if tier.kind is Kind.DISPLAY:
        why = f"Display: finish only. {_of_servings(tier, 0, book)}"
        what += ", display"
    elif tier.kind is Kind.KEPT:
        why = (
            f"Kept back, priced as the servings it would give. {_of_servings(tier, servings, book)}"
        )
        what += ", kept for the couple"
    else:
        why = _of_servings(tier, servings, book)
        what += f", {_counted(servings, 'serving')}"
    return QuoteLine(what, tier_price(tier, servings, book), why, "tier")


def _kitchen_line(cake: KitchenCake, brief: Brief, book: ShopBook) -> QuoteLine:
    tier = choices.as_tier(cake)
    servings = servings_made(tier, brief, book)
    one = kitchen_cake_price(cake, servings, book)
    name = tier_name(tier, book.identity.units)
    what = f"Kitchen cake, {name}" if cake.count == 1 else f"{cake.count} kitchen cakes, {name}"
    why = _of_servings(tier, servings, book)
    share = book.policies.kitchen_cake_share
    if share != 1:
        why = f"Cut out of sight: a serving costs {_percent(share)} of the price here. {why}"
    if cake.count != 1:
        why = f"{cake.count} cakes at {one.written(book.identity.locale)} each. {why}"
    return QuoteLine(what, one.times(cake.count), why, "kitchen cake")


def decoration_lines(chosen: ChosenDecoration, brief: Brief, book: ShopBook) -> Iterator[QuoteLine]:
    """The line of a decoration; none where it is on nothing (no tier yet, or none of it)."""
    thing, tiers = book.decoration(chosen.what), brief.design.tiers
    places = [Place(at, at == len(tiers) - 1) for at in range(len(tiers))]
    on = [
        (tier, place, servings_made(tier, brief, book))
        for tier, place in zip(tiers, places, strict=True)
        if choices.is_on(chosen, thing, place)
    ]
    whole = chosen.tier is None and not choices.goes_on_every_tier(chosen, thing)
    if chosen.count < 1 or not (on or whole):
        return
    parts = [
        decoration_price_on(chosen, thing, tier, place, servings) for tier, place, servings in on
    ]
    units = sum(
        (choices.units_of(thing.rate.driver, tier, servings) for tier, _, servings in on),
        Decimal(0),
    )
    units = units * chosen.count if on else Decimal(chosen.count)
    identity = book.identity
    why = choices.price_in_words(thing.rate, units, identity.units, identity.locale)
    noun = "piece" if thing.rate.driver is Driver.PER_PIECE else "time"
    count = f", {_counted(chosen.count, noun)}" if chosen.count > 1 else ""
    yield QuoteLine(
        what=thing.name[0].upper() + thing.name[1:] + count,
        amount=total(parts, book.currency) + decoration_price_once(chosen, thing),
        why=f"{why[0].upper()}{why[1:]}." if why else "No extra.",
        kind="decoration",
    )  # fmt: skip


def _extra_lines(
    cake: Money, brief: Brief, book: ShopBook, notice: int | None
) -> tuple[QuoteLine, ...]:
    """The lines on top of the cake's own, those that come to nothing left out."""
    locale, policies = book.identity.locale, book.policies
    extras = extras_of(cake, brief, book, notice)
    lines = []
    if extras.top_up:
        why = (
            f"The smallest order is {policies.minimum_order.written(locale)};"
            f" this cake comes to {cake.written(locale)}."
        )
        lines.append(QuoteLine("To the minimum order", extras.top_up, why, "minimum"))
    rush, amount = rush_of(cake, book, notice)
    if rush is not None and amount:
        why = (
            f"{_counted(max(notice or 0, 0), 'day')} of notice, fewer than {rush.under_days}:"
            f" {_percent(rush.share)} of {cake.written(locale)},"
            f" at least {rush.least.written(locale)}."
        )
        lines.append(QuoteLine("Short notice", amount, why, "rush"))
    if brief.hand_over.how is How.DELIVERY:
        kilometres = number(float(brief.hand_over.distance_km))
        what = f"Delivery and set-up, {kilometres} km"
        lines.append(QuoteLine(what, extras.delivery, _delivery_words(brief, book), "delivery"))
    if extras.tax:
        before = (cake + extras.top_up + extras.rush + extras.delivery).written(locale)
        why = f"{_percent(policies.tax.share)} of {before}."
        name = policies.tax.name[:1].upper() + policies.tax.name[1:]
        lines.append(QuoteLine(name, extras.tax, why, "tax"))
    return tuple(lines)


def _percent(share: Decimal) -> str:
    return f"{number(float(share * 100))} %"


def _delivery_words(brief: Brief, book: ShopBook) -> str:
    policy, locale = book.policies.delivery, book.identity.locale
    beyond = max(brief.hand_over.distance_km - policy.included_km, Decimal(0))
    says = f"{policy.base.written(locale)} for the first {number(float(policy.included_km))} km"
    if beyond:
        says += f", {number(float(beyond))} km more at {policy.per_km.written(locale)}"
    return f"{says}; set-up {policy.set_up.written(locale)}."


def quote_problems(quoted: Money, brief: Brief, book: ShopBook) -> tuple[Problem, ...]:
    """A budget passed, a way too far; `where` is the step and the field there."""
    found, locale = [], book.identity.locale
    budget, furthest = brief.limits.budget, book.policies.delivery.furthest_km
    if budget is not None and budget.currency == quoted.currency and quoted > budget:
        says = (
            f"The total of {quoted.written(locale)} is {(quoted - budget).written(locale)} over"
            f" the budget of {budget.written(locale)}."
        )
        found.append(Problem("tiers.budget", says))
    if brief.hand_over.how is How.DELIVERY and brief.hand_over.distance_km > furthest:
        says = f"The shop delivers up to {number(float(furthest))} km away."
        found.append(Problem("event.distance_km", says))
    return tuple(found)


def quote_of(brief: Brief, book: ShopBook, today: date) -> Quote:
    """The quote as of `today`. No line and a total of nothing while there is no cake."""
    notice, currency = notice_days(brief, today), book.currency
    lines = cake_lines(brief, book)
    cake = total((line.amount for line in lines), currency)
    has_cake = bool(brief.design.tiers or brief.design.kitchen_cakes)
    if has_cake:
        lines += _extra_lines(cake, brief, book, notice)
    else:
        lines = ()
    quoted = total((line.amount for line in lines), currency)
    policies, hand_over = book.policies, brief.event.on
    deposit = deposit_of(quoted, policies.deposit_share)
    last = max(hand_over, today) if hand_over else date.max
    paid_by = _paid_by(last, book, today)
    first_due = deposit_due(today, policies.deposit_due_days, paid_by)
    return Quote(
        currency=currency,
        lines=lines,
        total=quoted,
        deposit=deposit,
        deposit_due=first_due,
        balance=quoted - deposit,
        # Never asked for before the deposit is.
        balance_due=max(
            min(balance_due(hand_over, policies.balance_due_days, first_due), paid_by), first_due
        )
        if hand_over
        else None,
        holds_until=min(today + timedelta(days=policies.quote_holds_days), last),
        tax_words=_tax_words(lines, cake, brief, book, notice),
        problems=quote_problems(quoted, brief, book),
    )


def _paid_by(hand_over: date, book: ShopBook, today: date) -> date:
    """The last day on which money may be due: that before work on the cake may begin, or today.

    Nothing is bought or baked on credit (common practice, no source). `hand_over` is not before today.
    """
    if (hand_over - today).days <= book.policies.hours.bake_days_before:
        return today
    return hand_over - timedelta(days=book.policies.hours.bake_days_before + 1)


def _tax_words(
    lines: Sequence[QuoteLine], cake: Money, brief: Brief, book: ShopBook, notice: int | None
) -> str:
    """ "includes 8 % sales tax: $40.60", whether within the prices or as a line; "" without tax."""
    tax = book.policies.tax
    if not lines or not tax.share:
        return ""
    extras = extras_of(cake, brief, book, notice)
    amount = extras.tax_within if tax.included else extras.tax
    name = tax.name if tax.name[1:2].isupper() else tax.name[:1].lower() + tax.name[1:]  # VAT stays
    return f"includes {_percent(tax.share)} {name}: {amount.written(book.identity.locale)}"
