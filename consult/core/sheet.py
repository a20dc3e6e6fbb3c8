"""What exactly is agreed? The design sheet as values, in the order it is read, before there is any paper."""

from dataclasses import dataclass
from datetime import date

from consult.core.agreed import Agreed
from consult.core.design import Swatch, Tier
from shop.core.measures import Units
from shop.core.money import Money
from shop.core.policies import Paper


@dataclass(frozen=True, slots=True)
class SheetTier:
    """One tier as the client reads it; `number` 1 is the base."""

    number: int
    size: str  # "10 in round"
    height: str  # "4 in"
    kind: str  # "", "kept for the couple", "display"
    cake: str  # "hazelnut, fig jam"
    finish: str  # "Swiss buttercream, smooth, pale sage"
    servings: int
    tier: Tier  # for the drawing
    texture: str  # the finish's hatch in the drawing
    colour: str  # hex that the drawing fills it with


@dataclass(frozen=True, slots=True)
class SheetDecoration:
    name: str
    count: int
    where: str  # "base tier", "every tier", "whole cake"
    note: str
    symbol: str  # for the drawing
    tier: int | None
    colour: str
    comes_off: str  # "" when it is eaten or stays


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One price line. `why` says how the amount came about."""

    what: str
    amount: Money
    why: str = ""


@dataclass(frozen=True, slots=True)
class SheetPhoto:
    sha256: str
    caption: str


@dataclass(frozen=True, slots=True)
class TakeOut:
    """What comes off or out before cutting: a line to tick."""

    count: str  # "5"; "all" where they are to be counted
    what: str  # "Sugar rose, wired"
    where: str  # "base tier", "under tiers 2 to 3"
    how: str  # "lift off; the wire is in a pick"

    def __str__(self) -> str:
        number = f"{self.count} × " if self.count.isdigit() and self.count != "1" else ""
        return f"{number}{self.what}, {self.where}: {self.how}"


@dataclass(frozen=True, slots=True)
class DesignSheet:
    """The whole sheet. Everything a client agrees to is in here and nowhere else."""

    number: str  # "2027-0142"
    revision: int
    shop_name: str
    shop_address: str
    shop_contact: str
    client_name: str
    client_contact: str
    occasion: str
    event_on: date
    hand_over: str  # a sentence
    conditions: tuple[str, ...]  # level table, shade, cool room ...
    guests: int
    slice_words: str  # "dessert slices, 1 x 2 in"
    need: int
    need_why: str
    servings: int
    kept_words: str  # "" or what is kept back
    tiers: tuple[SheetTier, ...]  # base first
    kitchen_cakes: tuple[str, ...]  # in words
    decorations: tuple[SheetDecoration, ...]
    swatches: tuple[Swatch, ...]
    colour_note: str
    photos: tuple[SheetPhoto, ...]
    height_mm: float
    board_mm: float
    contains: tuple[str, ...]
    may_contain: tuple[str, ...]
    allergen_note: str
    avoid_words: str  # what the client asked to avoid and whether this cake does
    cautions: tuple[str, ...]
    take_out: tuple[str, ...]  # what comes off or out before cutting
    lines: tuple[SheetLine, ...]
    total: Money
    tax_words: str
    deposit: Money
    deposit_due: date
    balance: Money
    balance_due: date
    quoted_on: date
    holds_until: date
    notes: str
    terms_version: str
    terms: str
    consent_version: str
    consent: str
    units: Units
    paper: Paper
    locale: str
    take_out_rows: tuple[TakeOut, ...] = ()  # take_out as a table; sheets made before it have none
    agreed: Agreed | None = None  # beside the cake; sheets made before it have none
    changed_from: int = 0  # the revision signed before, 0 when there is none
    changes: tuple[str, ...] = ()  # since that one, in words and money


@dataclass(frozen=True, slots=True)
class SignatureMark:
    """How a sheet was signed, for the paper: strokes are polylines of (x, y) in 0..1, empty when typed."""

    name: str
    signed_at: str  # local time in words with its zone
    strokes: tuple[tuple[tuple[float, float], ...], ...]
    witness: str  # who of the shop was by, or ""
    how: str  # "drawn at the counter", "typed"


@dataclass(frozen=True, slots=True)
class DepositRequest:
    """What is asked for, by when, and how it is paid."""

    number: str
    revision: int
    shop_name: str
    shop_address: str
    shop_contact: str
    client_name: str
    client_contact: str
    occasion: str
    event_on: date
    asked_on: date
    total: Money
    deposit: Money
    received: Money  # all that came in for the order before it was asked for
    to_pay: Money  # the deposit less that, never below zero
    due: date
    balance: Money
    balance_due: date
    reference: str  # ISO 11649
    account_name: str
    iban: str
    bic: str
    how_to_pay: str
    epc_payload: str  # "" unless EUR and an IBAN is set
    after_words: str  # what paying it does: the date is held
    sheet_fingerprint: str
    paper: Paper
    locale: str
    payment_link: str = ""  # of any provider, filled in; requests made before it have none
