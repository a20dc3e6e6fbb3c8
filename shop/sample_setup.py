"""What is the sample shop, and what has its owner decided? Invented, in dollars and inches or euros and cm."""

from decimal import Decimal

from shop.core.book import ShopBook
from shop.core.catalogue import Pan, Shape, SliceSize
from shop.core.measures import Units, to_mm
from shop.core.money import Money
from shop.core.policies import (
    Agreement,
    CancelStep,
    Delivery,
    Identity,
    OpenHours,
    Paper,
    Policies,
    Regime,
    Rush,
    StackLimits,
    Tax,
    Terms,
)
from shop.sample_catalogue import decorations, fillings, finishes, flavours, tasks
from shop.sample_pantry import ingredients
from shop.sample_terms import CONSENT_TEXT, TERMS_TEXT
from shop.starting_texts import starting_texts

# Pans: shape, size, short way, depth, how many.
_INCH_PANS = (
    *((Shape.ROUND, size, None, "2", owned) for size, owned in (
        ("4", 2), ("5", 2), ("6", 4), ("7", 2), ("8", 4), ("9", 2), ("10", 3), ("12", 2), ("14", 2),
        ("16", 1),
    )),
    *((Shape.SQUARE, size, None, "2", 2) for size in ("6", "8", "10", "12")),
    *((Shape.SQUARE, size, None, "2", 1) for size in ("14", "16")),
    (Shape.RECTANGLE, "13", "9", "2", 2),
    (Shape.RECTANGLE, "18", "12", "2", 2),
    *((Shape.HEXAGON, size, None, "2", 2) for size in ("6", "9", "12")),
)  # fmt: skip
_CM_PANS = (
    *((Shape.ROUND, size, None, "7.5", owned) for size, owned in (
        ("10", 2), ("12", 2), ("15", 3), ("18", 2), ("20", 3), ("23", 2), ("25", 2), ("30", 2), ("35", 1),
        ("40", 1),
    )),
    *((Shape.SQUARE, size, None, "7.5", 2) for size in ("15", "20", "25", "30")),
    *((Shape.SQUARE, size, None, "7.5", 1) for size in ("35", "40")),
    (Shape.RECTANGLE, "33", "23", "5", 2),
    (Shape.RECTANGLE, "45", "30", "5", 1),
    *((Shape.HEXAGON, size, None, "7.5", 1) for size in ("15", "23", "30")),
)  # fmt: skip

_SLICES = {
    # The usual slices of a served cake: dessert 1 x 2 in, party 1½ x 2 in, finger 1 x 1 in.
    Units.INCHES: (
        ("dessert", "Dessert slice", "1", "2"),
        ("party", "Party slice", "1.5", "2"),
        ("finger", "Finger slice", "1", "1"),
    ),
    Units.CENTIMETRES: (
        ("dessert", "Dessert slice", "2.5", "5"),
        ("party", "Party slice", "4", "5"),
        ("finger", "Finger slice", "2.5", "2.5"),
    ),
}


def _pans(units: Units) -> tuple[Pan, ...]:
    rows = _INCH_PANS if units is Units.INCHES else _CM_PANS
    return tuple(
        Pan(shape, Decimal(size), Decimal(depth), units, owned, Decimal(short) if short else None)
        for shape, size, short, depth, owned in rows
    )


def _slices(units: Units) -> tuple[SliceSize, ...]:
    return tuple(
        SliceSize(code, name, to_mm(Decimal(width), units), to_mm(Decimal(depth), units))
        for code, name, width, depth in _SLICES[units]
    )


def _stacks(units: Units) -> StackLimits:
    """The trade's ledge of 1 in all round, or 2.5 cm (common practice, no source); the rest is this shop's."""
    if units is Units.INCHES:
        heights, ledge, step, tall, board, margin = ("3 4 5 6", "1", "3", "27", "20", "2")
    else:
        heights, ledge, step, tall, board, margin = ("8 10 12.5 15", "2.5", "7.5", "70", "50", "5")

    def mm(text: str) -> float:
        return to_mm(Decimal(text), units)

    return StackLimits(
        ledge_mm=mm(ledge),
        widest_step_mm=mm(step),
        most_tiers=5,
        tallest_mm=mm(tall),
        widest_board_mm=mm(board),
        board_margin_mm=mm(margin),
        one_person_lifts_grams=11000.0,
        heights_mm=tuple(mm(height) for height in heights.split()),
    )


# Bench hours: Monday and Sunday closed, Tuesday to Friday 8 h, Saturday 6 h.
_HOURS = OpenHours(
    bench_minutes=(0, 480, 480, 480, 480, 360, 0),
    bake_days_before=3,
    hand_over_from="09:00",
    hand_over_until="17:00",
)


def _agreement(place: str) -> Agreement:
    """What cancelling costs by this shop's own reckoning: a little for the talks and the drawing at first, then
    hours that can no longer be given to others, then what is bought and baked (common practice, no source)."""
    texts = starting_texts(place)
    assert texts is not None  # both of the sample's places have texts
    return Agreement(
        cancelling=(
            CancelStep(60, Decimal("0.1")),
            CancelStep(30, Decimal("0.25")),
            CancelStep(14, Decimal("0.5")),
            CancelStep(7, Decimal(1)),
        ),
        changes_until_days=14,
        count_until_days=21,
        risk_words=texts.risk,
        photo_words=texts.photos,
        withdrawal_words=texts.withdrawal,
        place=place,
    )


def _policies(currency: str, units: Units) -> Policies:
    """Amounts, shares and days within the range that bakers post (common practice, no source)."""

    def money(text: str) -> Money:
        return Money.of(text, currency)

    in_dollars = units is Units.INCHES
    return Policies(
        price_per_serving=money("5.50"),
        minimum_order=money("150"),
        kitchen_cake_share=Decimal("0.8"),
        deposit_share=Decimal("0.5"),
        deposit_due_days=7,
        balance_due_days=14,
        quote_holds_days=14,
        least_notice_days=4,
        rushes=(
            Rush(7, Decimal("0.35"), money("60")),
            Rush(14, Decimal("0.15"), money("30")),
        ),
        delivery=Delivery(
            base=money("25"),
            included_km=Decimal(8),
            per_km=money("1.25"),
            set_up=money("30"),
            furthest_km=Decimal(120),
            kilometres_an_hour=Decimal(45),
        ),
        tax=Tax("Sales tax", Decimal("0.06"), included=False)
        if in_dollars
        else Tax("VAT", Decimal("0.1"), included=True),
        stacks=_stacks(units),
        hours=_HOURS,
        hour_costs=money("24"),
        overhead_share=Decimal("0.15"),
        agreement=_agreement("us" if in_dollars else "eu"),
        may_contain=frozenset(
            {"wheat", "egg", "milk", "soy", "almond", "hazelnut", "walnut", "sesame"}
        ),
    )


_IN_DOLLARS = Identity(
    name="Hollin Lane Cakes",
    address="14 Hollin Lane\nAlder Ferry",
    phone="555-0142",  # 555-01xx is set aside for invented numbers
    email="hello@hollinlane.example",
    currency="USD",
    units=Units.INCHES,
    paper=Paper.LETTER,
    regime=Regime.US,
    locale="en_US",
    time_zone="America/New_York",
    how_to_pay="Pay by card at the counter, by check to Hollin Lane Cakes, or by bank transfer; "
    "ask us for the account. Always name the reference.",
)
_IN_EUROS = Identity(
    name="Hollin Lane Cakes",
    address="14 Hollin Lane\nAlder Ferry",
    phone="555-0142",
    email="hello@hollinlane.example",
    currency="EUR",
    units=Units.CENTIMETRES,
    paper=Paper.A4,
    regime=Regime.EU,
    locale="en_IE",
    time_zone="Europe/Dublin",
    iban="IE12TIER99000012345678",  # an invented bank and account, with the check digits of ISO 13616
    account_name="Hollin Lane Cakes",
    how_to_pay="Pay by bank transfer, with the reference, or by card at the counter.",
)


def sample_book(*, euro: bool = False) -> ShopBook:
    """The whole sample shop: dollars, inches, letter paper, US allergens; or euros, centimetres, A4, EU."""
    identity = _IN_EUROS if euro else _IN_DOLLARS
    currency, units = identity.currency, identity.units
    return ShopBook(
        identity=identity,
        policies=_policies(currency, units),
        terms=Terms("1", TERMS_TEXT, CONSENT_TEXT, "1"),
        pans=_pans(units),
        slices=_slices(units),
        ingredients=ingredients(currency),
        flavours=flavours(currency),
        fillings=fillings(currency),
        finishes=finishes(currency),
        decorations=decorations(currency),
        tasks=tasks(),
    )
