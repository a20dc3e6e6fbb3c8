"""What has the owner decided? Prices that hold for every order, limits of what stands, terms, open hours."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from shop.core.measures import Units
from shop.core.money import Money


class Paper(StrEnum):
    LETTER = "letter"
    A4 = "a4"


class Regime(StrEnum):
    """Whose list of allergens must be declared."""

    US = "us"
    EU = "eu"
    UK = "uk"
    CANADA = "ca"
    AUSTRALIA_NEW_ZEALAND = "anz"


@dataclass(frozen=True, slots=True)
class Rush:
    """An order with less notice than `under_days` costs `share` of the cake more, at least `least`."""

    under_days: int
    share: Decimal
    least: Money


@dataclass(frozen=True, slots=True)
class Delivery:
    """`base` covers the first `included_km`; each further kilometre costs `per_km`."""

    base: Money
    included_km: Decimal
    per_km: Money
    set_up: Money
    furthest_km: Decimal
    kilometres_an_hour: Decimal = Decimal(40)  # for the time on the road


@dataclass(frozen=True, slots=True)
class Tax:
    """`included` says whether the shop's prices already hold the tax."""

    name: str
    share: Decimal
    included: bool


@dataclass(frozen=True, slots=True)
class StackLimits:
    """What this shop can build, chill, carry and drive. Lengths in millimetres, weight in grams."""

    ledge_mm: float = 25.4  # 1 in all round: the trade's 2-in step (common practice, no source)
    widest_step_mm: float = 76.2
    most_tiers: int = 5
    tallest_mm: float = 700.0  # fridge, box and van
    widest_board_mm: float = 500.0
    board_margin_mm: float = (
        50.8  # board beyond the base tier, each side (common practice, no source)
    )
    one_person_lifts_grams: float = 11000.0
    heights_mm: tuple[float, ...] = (101.6,)  # tier heights on offer


@dataclass(frozen=True, slots=True)
class OpenHours:
    """Bench minutes the shop has on each weekday, Monday first, and the days it is closed."""

    bench_minutes: tuple[int, int, int, int, int, int, int]
    bake_days_before: int = 3  # earliest working day before hand-over on which a cake is started
    hand_over_from: str = "09:00"
    hand_over_until: str = "18:00"
    closed_days: frozenset[str] = frozenset()  # ISO dates


class Rounds(StrEnum):
    """How this shop cuts a round tier."""

    WHICHEVER = "whichever"  # the way that gives more, rings on a tie
    RINGS = "rings"
    ROWS = "rows"


class Rod(StrEnum):
    """What holds a tier up."""

    WOOD = "wood"  # solid birch dowels
    STRAW = "straw"  # thick-walled plastic tubes, sold for cakes


@dataclass(frozen=True, slots=True)
class SupportHabits:
    """How this shop supports its tiers. Every default is common practice, no source, unless said."""

    rod: Rod = Rod.WOOD
    rod_mm: float = 6.35  # 1/4 in, as decorators' tutorials have it
    wall_mm: float = 0.5  # of a straw
    safety: float = 4.0  # capacity is divided by it
    uneven: float = 1.5  # one support may carry so much more than its share
    in_from_edge_mm: float = 38.1  # 1.5 in inside the outline of the tier carried (a shop guide)
    drum_mm: float = 12.0  # thickness of the base board
    board_mm: float = 3.0  # thickness of the board under each tier carried
    tiers_stacked_to_travel: int = 3  # more are assembled at the venue
    door_mm: float = 760.0  # the narrowest door or lift on the way
    box_room_mm: float = 12.7  # air round the cake in its box, each side


@dataclass(frozen=True, slots=True)
class Kitchen:
    """What works at the same time in this kitchen."""

    hands: int = 1  # pairs of hands at the bench
    oven_wide_mm: float = 600.0
    oven_deep_mm: float = 400.0
    oven_shelves: int = 2
    oven_loads: int = 1  # ovens that run at once
    fridge_places: int = 4  # tiers that chill at once
    opens: str = "08:00"  # when bench work starts
    batter_loss: Decimal = Decimal("0.05")  # left in the bowl (common practice, no source)


@dataclass(frozen=True, slots=True)
class CancelStep:
    """An order cancelled at least `days_before` hand-over costs the client `share` of its total."""

    days_before: int
    share: Decimal


@dataclass(frozen=True, slots=True)
class Agreement:
    """What is agreed beside the cake. Days before hand-over.

    `cancelling`: the step with the most days that the notice reaches holds; with none reached, all of
    the total. Empty: nothing is kept but what the terms say, so the whole of what was paid goes back.
    """

    cancelling: tuple[CancelStep, ...] = ()
    changes_until_days: int = 14  # a later change needs the shop's word
    count_until_days: int = 21  # when the guest count is asked for once more
    risk_words: str = ""  # who carries the risk after hand-over
    photo_words: str = ""  # what the client may allow or not: a choice of its own
    withdrawal_words: str = ""  # the consumer's right to withdraw, or that there is none, by place
    place: str = ""  # whose law the starting texts were written for


@dataclass(frozen=True, slots=True)
class Policies:
    """Every number the owner sets that is not in the catalogue."""

    price_per_serving: Money  # plain cake, plain filling, before finish and decorations
    minimum_order: Money
    deposit_share: Decimal
    deposit_due_days: int  # after the quote
    balance_due_days: int  # before hand-over
    quote_holds_days: int
    least_notice_days: int
    rushes: tuple[Rush, ...]
    delivery: Delivery
    tax: Tax
    stacks: StackLimits
    hours: OpenHours
    hour_costs: Money  # what one bench hour costs the shop
    overhead_share: Decimal  # of cost, on top
    may_contain: frozenset[str] = frozenset()  # substances handled in the kitchen
    supports: SupportHabits = SupportHabits()
    kitchen: Kitchen = Kitchen()
    least_margin: Decimal = Decimal(0)  # of the price, left for the owner; below it she is warned
    agreement: Agreement = Agreement()
    # Of the price of a serving, its flavour and filling included, that a kitchen cake's costs: it is cut
    # out of sight, with no tier to build. 1 is the price of any other serving (our default).
    kitchen_cake_share: Decimal = Decimal(1)
    rounds: Rounds = Rounds.WHICHEVER


@dataclass(frozen=True, slots=True)
class Terms:
    """The small print as shown, with the version the owner gave it."""

    version: str
    text: str
    consent: str  # the sentence a signer agrees to
    consent_version: str


@dataclass(frozen=True, slots=True)
class Identity:
    """Who the shop is and how it measures, prints, counts and gets paid."""

    name: str
    address: str
    phone: str
    email: str
    currency: str
    units: Units
    paper: Paper
    regime: Regime
    locale: str = "en_US"
    time_zone: str = "UTC"
    iban: str = ""
    bic: str = ""
    account_name: str = ""
    how_to_pay: str = ""  # the owner's own words, or a link of any provider
    payment_link: str = ""  # of any provider; {amount}, {currency} and {reference} are filled in
