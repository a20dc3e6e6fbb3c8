"""What does the design sheet say, and what the deposit request? Built in a client's words from what was reckoned."""

from datetime import date

from babel.dates import format_date, format_time

from consult.core import choices
from consult.core.agreed import agreed_of
from consult.core.allergens import allergens_of, declared, meant_by, parts_of, tier_words
from consult.core.cautions import take_out_rows
from consult.core.deposit import (
    creditor_reference,
    epc_payload,
    epc_problems,
)
from consult.core.design import Brief, ChosenDecoration, How, Kind, KitchenCake, Tier
from consult.core.open_answers import still_missing
from consult.core.reckoning import Reckoning, settled
from consult.core.servings import slice_of, tier_servings
from consult.core.sheet import (
    DepositRequest,
    DesignSheet,
    SheetDecoration,
    SheetLine,
    SheetPhoto,
    SheetTier,
)
from consult.core.sheet_colours import colours_used
from consult.core.stack_rules import tier_name
from shop.core.book import ShopBook
from shop.core.measures import Units, length
from shop.core.money import Money
from shop.core.payment_link import payment_link

KIND_WORDS = {Kind.EATEN: "", Kind.KEPT: "kept for the couple", Kind.DISPLAY: "display, not cake"}

# What the drawing fills a tier with whose colour nobody chose: our own palette of plain coats.
PLAIN_COLOURS = {
    "buttercream": "#F4ECDF",  # butter makes it warm, never pure white
    "fondant": "#FBF8F3",
    "ganache": "#6B4632",
    "naked": "#E9D3AE",  # the cake's crumb shows through
}
PLAIN_COLOUR = PLAIN_COLOURS["buttercream"]

# Posted terms of bakers: common practice, no source (70-75 F; a sturdy level table from the venue).
CONDITIONS = (
    "A sturdy, level table that carries the weight of the whole cake.",
    "In the shade, away from windows, heaters and dancing.",
)
COOL_ROOM = {  # the shop's own unit first
    Units.INCHES: "A room of 70 to 75 °F (21 to 24 °C) or cooler.",
    Units.CENTIMETRES: "A room of 21 to 24 °C (70 to 75 °F) or cooler.",
}
COLOUR_NOTE = (
    "Colours here are a guide. Icing is mixed as close as possible, but a screen or a print never"
    " promises its exact colour: butter is yellow to begin with, deep colours go on developing for"
    " hours, and light fades them."
)


def day_in_words(day: date, locale: str) -> str:
    """A day with its weekday, as the shop's language writes it: "Saturday, May 15, 2027"."""
    return format_date(day, "full", locale=locale)


def hand_over_words(brief: Brief, book: ShopBook) -> str:
    """How, when and where the cake changes hands, as a sentence. The date must be set."""
    assert brief.event.on is not None  # a sheet is made only when nothing is missing
    locale, hand_over = book.identity.locale, brief.hand_over
    when = day_in_words(brief.event.on, locale)
    if hand_over.at is not None:
        # CLDR puts a narrow no-break space before "PM", which few fonts have.
        hour = format_time(hand_over.at, "short", locale=locale).replace("\u202f", " ")
        when += f", {hour}"
    if hand_over.how is How.DELIVERY:
        place = f" at {hand_over.place.strip()}" if hand_over.place.strip() else ""
        return f"Delivered and set up{place}, {when}."
    return f"Collected from {book.identity.name}, {when}."


def conditions(brief: Brief, reckoning: Reckoning, units: Units) -> tuple[str, ...]:
    """What the cake needs where it goes: common terms of bakers, and how it is carried."""
    there = (*CONDITIONS, COOL_ROOM[units])
    if brief.hand_over.how is How.DELIVERY:
        return there
    return (
        "Carry it level, on a flat floor in the car, cool and out of the sun.",
        f"{reckoning.heaviest_words.rstrip('.')}.",
        *there,
    )


def slice_words(brief: Brief, book: ShopBook) -> str:
    """The slice that servings are counted in: "dessert slices, 1 x 2 in"."""
    slice_size, units = slice_of(brief.need, book), book.identity.units
    wide = length(slice_size.width_mm, units).removesuffix(f" {units.value}")
    return f"{slice_size.name}s, {wide} x {length(slice_size.depth_mm, units)}"


def colour_of(tier: Tier, book: ShopBook) -> str:
    """The hex colour that the drawing fills a tier with: the chosen one, else its finish's own."""
    return tier.colour or PLAIN_COLOURS.get(choices.finish_of(tier, book).kind, PLAIN_COLOUR)


def _tier(at: int, tier: Tier, brief: Brief, book: ShopBook) -> SheetTier:
    units = book.identity.units
    finish = choices.finish_of(tier, book)
    coloured = f"{finish.name}, {tier.colour_name}" if tier.colour_name else finish.name
    cake = "foam under real icing"
    if tier.is_cake:
        cake = f"{choices.flavour_of(tier, book).name}, {choices.filling_of(tier, book).name}"
    servings = tier_servings(tier, slice_of(brief.need, book), book.policies.rounds).count
    return SheetTier(
        number=at + 1,
        size=tier_name(tier, units),
        height=length(tier.height_mm, units),
        kind=KIND_WORDS[tier.kind],
        cake=cake,
        finish=coloured,
        servings=servings if tier.kind is Kind.EATEN else 0,
        tier=tier,
        texture=choices.texture_of(tier, book),
        colour=colour_of(tier, book),
    )


def _kitchen_words(cake: KitchenCake, brief: Brief, book: ShopBook) -> str:
    tier = choices.as_tier(cake)
    each = tier_servings(tier, slice_of(brief.need, book), book.policies.rounds).count
    made = ", ".join(
        thing.name
        for thing in (
            choices.flavour_of(cake, book),
            choices.filling_of(cake, book),
            choices.finish_of(cake, book),
        )
    )
    name = tier_name(tier, book.identity.units)
    cakes = "1 kitchen cake" if cake.count == 1 else f"{cake.count} kitchen cakes"
    return f"{cakes}, {name}, {made}: {each * cake.count} servings, cut out of sight"


def where_words(chosen: ChosenDecoration, brief: Brief, book: ShopBook) -> str:
    """Where a decoration goes: "base tier", "every tier", "whole cake"."""
    tiers = brief.design.tiers
    at = choices.tier_of(chosen, tiers)
    if at is not None:
        return tier_words(at, len(tiers))
    several = len(tiers) > 1
    every = choices.goes_on_every_tier(chosen, book.decoration(chosen.what)) and several
    return "every tier" if every else "whole cake"


def _decoration(chosen: ChosenDecoration, brief: Brief, book: ShopBook) -> SheetDecoration:
    thing = book.decoration(chosen.what)
    named = f"{thing.name}, {chosen.colour_name}" if chosen.colour_name else thing.name
    return SheetDecoration(
        name=named[0].upper() + named[1:],
        count=chosen.count,
        where=where_words(chosen, brief, book),
        note=chosen.note,
        symbol=thing.symbol,
        tier=choices.tier_of(chosen, brief.design.tiers),
        colour=chosen.colour,
        comes_off=thing.comes_off,
    )


def kept_words(brief: Brief, book: ShopBook) -> str:
    """What is kept back and so not counted; "" when nothing is."""
    tiers = brief.design.tiers
    kept = [
        f"{tier_words(at, len(tiers))} ({tier_name(tier, book.identity.units)})"
        for at, tier in enumerate(tiers)
        if tier.kind is Kind.KEPT
    ]
    if not kept:
        return ""
    are = "is" if len(kept) == 1 else "are"
    return f"The {' and the '.join(kept)} {are} kept for the couple and not counted."


def avoid_words(brief: Brief, book: ShopBook) -> str:
    """What the client asked to avoid and whether this cake does, or that nothing was named."""
    if not brief.avoid:
        return "Asked about allergies: nothing to avoid was named."
    sentences = []
    for asked in sorted(brief.avoid):
        substances = meant_by(asked) or frozenset((asked,))
        sentences.append(_avoided(asked, substances, brief, book))
    return " ".join(sentences)


def _avoided(asked: str, substances: frozenset[str], brief: Brief, book: ShopBook) -> str:
    holding = []
    for part in parts_of(brief, book):
        used = [book.ingredient(line.ingredient) for line in part.recipe.lines]
        if any(ingredient.contains & substances for ingredient in used):
            holding.append(part.name)
    if holding:
        return f"You asked us to avoid {asked}: this cake CONTAINS it ({'; '.join(holding)})."
    handled = sorted(substances & book.policies.may_contain)
    labels = {
        substance
        for part in parts_of(brief, book)
        for line in part.recipe.lines
        for substance in book.ingredient(line.ingredient).may_contain & substances
    }
    says = f"You asked us to avoid {asked}: no part of this cake contains it"
    if handled:
        names = " and ".join(declared(one, book.identity.regime) or one for one in handled)
        return f"{says}; our kitchen handles {names}, so traces cannot be ruled out."
    if labels:
        return f"{says}; the labels of what we use warn of traces."
    return f"{says} by its recipe; traces can never be ruled out in a kitchen."


def _contact(*parts: str) -> str:
    return ", ".join(part.strip() for part in parts if part.strip())


def sheet_of(
    brief: Brief,
    book: ShopBook,
    reckoning: Reckoning,
    number: str,
    revision: int,
    quoted_on: date,
) -> DesignSheet:
    """The design sheet of a brief in which nothing is missing. Nothing in it tells what the cake
    costs the shop or how long it takes. Raises ValueError while `still_missing` names something."""
    missing, event_on = still_missing(brief, book), brief.event.on
    if missing or event_on is None:
        raise ValueError(f"Not a sheet yet: {missing[0].says}")
    brief = settled(brief)
    identity, terms, design = book.identity, book.terms, brief.design
    allergens, quote = allergens_of(brief, book), reckoning.quote
    return DesignSheet(
        number=number,
        revision=revision,
        shop_name=identity.name,
        shop_address=identity.address,
        shop_contact=_contact(identity.phone, identity.email),
        client_name=brief.client.name.strip(),
        client_contact=_contact(brief.client.email, brief.client.phone),
        occasion=brief.event.occasion,
        event_on=event_on,
        hand_over=hand_over_words(brief, book),
        conditions=conditions(brief, reckoning, identity.units),
        guests=brief.need.guests,
        slice_words=slice_words(brief, book),
        need=reckoning.needed.count,
        need_why=f"{reckoning.needed.why.rstrip('.')}.",
        servings=reckoning.servings,
        kept_words=kept_words(brief, book),
        tiers=tuple(_tier(at, tier, brief, book) for at, tier in enumerate(design.tiers)),
        kitchen_cakes=tuple(
            _kitchen_words(cake, brief, book) for cake in design.kitchen_cakes if cake.count > 0
        ),
        decorations=tuple(
            _decoration(chosen, brief, book) for chosen in design.decorations if chosen.count > 0
        ),
        swatches=colours_used(design),
        colour_note=COLOUR_NOTE,
        photos=tuple(SheetPhoto(photo.sha256, photo.caption) for photo in design.photos),
        height_mm=reckoning.height_mm,
        board_mm=reckoning.board_mm,
        contains=allergens.contains,
        may_contain=allergens.may_contain,
        allergen_note=allergens.note,
        avoid_words=avoid_words(brief, book),
        cautions=tuple(caution.says for caution in reckoning.cautions),
        take_out=reckoning.take_out,
        lines=tuple(SheetLine(line.what, line.amount, line.why) for line in quote.lines),
        total=quote.total,
        tax_words=quote.tax_words,
        deposit=quote.deposit,
        deposit_due=quote.deposit_due,
        balance=quote.balance,
        balance_due=quote.balance_due or event_on,
        quoted_on=quoted_on,
        holds_until=quote.holds_until,
        notes=_notes(brief),
        terms_version=terms.version,
        terms=terms.text,
        consent_version=terms.consent_version,
        consent=terms.consent,
        units=identity.units,
        paper=identity.paper,
        locale=identity.locale,
        take_out_rows=take_out_rows(brief, book),
        agreed=agreed_of(
            book.policies.agreement,
            total=quote.total,
            deposit=quote.deposit,
            hand_over=event_on,
            quoted_on=quoted_on,
            locale=identity.locale,
        ),
    )


def _notes(brief: Brief) -> str:
    return "\n".join(text.strip() for text in (brief.notes, brief.design.notes) if text.strip())


def deposit_request_of(
    sheet: DesignSheet,
    book: ShopBook,
    fingerprint: str,
    asked_on: date,
    received: Money | None = None,
) -> DepositRequest:
    """The deposit request for a sheet, with its ISO 11649 reference made from the sheet's number.

    `received` is what came in for the order so far, also under an earlier revision; only the rest is
    asked for. A payment code is given only for a rest in euros with an account that EPC069-12
    accepts. What was due before the day it is asked for is due that day.
    """
    identity = book.identity
    reference = creditor_reference(sheet.number)
    name = identity.account_name or identity.name
    received = received or Money.zero(sheet.deposit.currency)
    to_pay = max(sheet.deposit - received, Money.zero(sheet.deposit.currency))
    account = (name, identity.iban, to_pay)
    payload = ""
    if identity.iban and not epc_problems(*account, reference=reference, bic=identity.bic):
        payload = epc_payload(*account, reference=reference, bic=identity.bic)
    due = max(sheet.deposit_due, asked_on)
    return DepositRequest(
        number=sheet.number,
        revision=sheet.revision,
        shop_name=sheet.shop_name,
        shop_address=sheet.shop_address,
        shop_contact=sheet.shop_contact,
        client_name=sheet.client_name,
        client_contact=sheet.client_contact,
        occasion=sheet.occasion,
        event_on=sheet.event_on,
        asked_on=asked_on,
        total=sheet.total,
        deposit=sheet.deposit,
        received=received,
        to_pay=to_pay,
        due=due,
        balance=sheet.balance,
        balance_due=max(sheet.balance_due, due),
        reference=reference,
        account_name=name if identity.iban else "",
        iban=identity.iban,
        bic=identity.bic,
        how_to_pay=identity.how_to_pay,
        epc_payload=payload,
        after_words=(
            f"Once the deposit is in, {day_in_words(sheet.event_on, sheet.locale)} is held for your"
            " cake. The date is not held before then."
        ),
        sheet_fingerprint=fingerprint,
        paper=sheet.paper,
        locale=sheet.locale,
        payment_link=payment_link(identity.payment_link, to_pay, reference) if to_pay else "",
    )
