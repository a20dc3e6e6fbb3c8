"""What has been said so far? The brief and the design of one cake, as frozen values and nothing else."""

from dataclasses import dataclass, field
from datetime import date, time
from decimal import Decimal
from enum import StrEnum

from shop.core.catalogue import Shape
from shop.core.money import Money


class Kind(StrEnum):
    """What a tier is for."""

    EATEN = "eaten"
    KEPT = "kept"  # real cake, kept back by the couple, not counted
    DISPLAY = "display"  # carved foam under real icing


class How(StrEnum):
    COLLECTION = "collection"
    DELIVERY = "delivery"


class StackChoice(StrEnum):
    """The stacks that are named to the client."""

    CLOSEST_FIT = "closest fit"
    LOWEST_PRICE = "lowest price"
    LEAST_BENCH_TIME = "least bench time"
    TALLEST = "tallest"


@dataclass(frozen=True, slots=True)
class Problem:
    """Something that is wrong: `where` by path or field name, `says` as a sentence for a person."""

    where: str
    says: str


@dataclass(frozen=True, slots=True)
class Client:
    name: str = ""
    email: str = ""
    phone: str = ""


@dataclass(frozen=True, slots=True)
class Event:
    """`on` is the shop's local date of the event."""

    occasion: str = ""
    on: date | None = None


@dataclass(frozen=True, slots=True)
class HandOver:
    """Where and when the cake leaves the shop's hands."""

    how: How = How.COLLECTION
    at: time | None = None
    distance_km: Decimal = Decimal(0)
    place: str = ""


@dataclass(frozen=True, slots=True)
class Need:
    """How many must be fed. `eating_share` of the guests eat; `spare` servings on top."""

    guests: int = 0
    slice: str = ""  # a SliceSize's code
    eating_share: Decimal = Decimal(1)
    spare: int = 0
    keep_top: bool = False


@dataclass(frozen=True, slots=True)
class Limits:
    """What the client wants of the stack. Empty means: whatever the shop has."""

    shapes: tuple[Shape, ...] = ()
    fewest_tiers: int = 1
    most_tiers: int | None = None
    heights_mm: tuple[float, ...] = ()
    sizes_mm: tuple[float, ...] = ()
    kitchen_cake: bool = False
    display_tiers: int = 0
    budget: Money | None = None


@dataclass(frozen=True, slots=True)
class Tier:
    """One tier. Sizes are the pan's nominal size in millimetres; choices are catalogue codes."""

    shape: Shape
    size_mm: float
    height_mm: float
    width_mm: float | None = None
    kind: Kind = Kind.EATEN
    flavour: str = ""
    filling: str = ""
    finish: str = ""
    colour: str = ""  # hex, "" for the finish's own
    colour_name: str = ""

    @property
    def is_cake(self) -> bool:
        """Whether it is baked at all."""
        return self.kind is not Kind.DISPLAY


@dataclass(frozen=True, slots=True)
class KitchenCake:
    """Plain cakes cut out of sight to fill the count: `count` alike."""

    shape: Shape
    size_mm: float
    height_mm: float
    width_mm: float | None = None
    count: int = 1
    flavour: str = ""
    filling: str = ""
    finish: str = ""


@dataclass(frozen=True, slots=True)
class ChosenDecoration:
    """A catalogue decoration put on. `tier` counts from the base, 0 first; None is the whole cake.

    `count` is pieces for a decoration counted by the piece, else how many times it is done.
    """

    what: str
    count: int = 1
    tier: int | None = None
    colour: str = ""
    colour_name: str = ""
    note: str = ""  # where exactly, in words


@dataclass(frozen=True, slots=True)
class OwnPiece:
    """Something made for this cake alone, in no catalogue: a sugar hedgehog, the client's own topper.

    `price`, `cost` and `minutes` are of one piece; `contains` are allergen substances.
    """

    name: str
    price: Money
    cost: Money
    minutes: int
    is_eaten: bool = True
    comes_off: str = ""  # how it is taken off before cutting; empty: it stays
    lead_days: int = 0
    contains: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Swatch:
    """A named colour; `share` of the picture it came from, 0 to 1 (0 when chosen by hand)."""

    name: str
    hex: str
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class PhotoRef:
    """A picture by the SHA-256 of its stored bytes, never the bytes themselves."""

    sha256: str
    caption: str = ""
    swatches: tuple[Swatch, ...] = ()


@dataclass(frozen=True, slots=True)
class Design:
    """One cake: tiers from base to top and what goes on them."""

    tiers: tuple[Tier, ...] = ()
    decorations: tuple[ChosenDecoration, ...] = ()
    kitchen_cakes: tuple[KitchenCake, ...] = ()
    swatches: tuple[Swatch, ...] = ()  # the cake's colours
    photos: tuple[PhotoRef, ...] = ()
    notes: str = ""
    own: tuple[OwnPiece, ...] = ()  # what `decorations` may name beside the catalogue

    @property
    def height_mm(self) -> float:
        return sum(tier.height_mm for tier in self.tiers)


@dataclass(frozen=True, slots=True)
class Brief:
    """Everything said in one consultation, with one design."""

    client: Client = field(default_factory=Client)
    event: Event = field(default_factory=Event)
    hand_over: HandOver = field(default_factory=HandOver)
    need: Need = field(default_factory=Need)
    limits: Limits = field(default_factory=Limits)
    design: Design = field(default_factory=Design)
    avoid: frozenset[str] = frozenset()  # allergen substances the client must avoid
    notes: str = ""
