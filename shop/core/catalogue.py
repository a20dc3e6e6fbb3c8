"""What can be chosen? Pans, slices, ingredients, flavours, fillings, finishes, decorations, as plain values."""

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from shop.core.measures import Units, length, to_mm
from shop.core.money import Money


class Shape(StrEnum):
    """Outline of a tier, pan or board, seen from above."""

    ROUND = "round"
    SQUARE = "square"
    RECTANGLE = "rectangle"
    HEXAGON = "hexagon"
    PETAL = "petal"
    HEART = "heart"
    OVAL = "oval"

    @property
    def has_width(self) -> bool:
        """Whether a second measure, the short way, belongs to it."""
        return self in (Shape.RECTANGLE, Shape.OVAL)


class Driver(StrEnum):
    """What an amount of work, a price or a cost grows with. One unit of each is said beside it."""

    PER_TIER = "tier"  # one tier it is used on
    PER_AREA = "area"  # 100 cm2 of the tier's top and sides
    PER_EDGE = "edge"  # 10 cm of the tier's outline, once round
    PER_PIECE = "piece"  # one piece made or placed
    PER_SERVING = "serving"  # one serving cut
    PER_CAKE = "cake"  # once an order

    @property
    def unit(self) -> str:
        return {
            Driver.PER_TIER: "a tier",
            Driver.PER_AREA: "each 100 cm² of surface",
            Driver.PER_EDGE: "each 10 cm round the edge",
            Driver.PER_PIECE: "a piece",
            Driver.PER_SERVING: "a serving",
            Driver.PER_CAKE: "an order",
        }[self]


@dataclass(frozen=True, slots=True)
class Pan:
    """A pan the shop owns. `size` (and `width`, the short way) as stamped on it, in `units`."""

    shape: Shape
    size: Decimal
    depth: Decimal
    units: Units
    owned: int
    width: Decimal | None = None

    @property
    def size_mm(self) -> float:
        return to_mm(self.size, self.units)

    @property
    def width_mm(self) -> float | None:
        return None if self.width is None else to_mm(self.width, self.units)

    @property
    def depth_mm(self) -> float:
        return to_mm(self.depth, self.units)

    @property
    def name(self) -> str:
        across = length(self.size_mm, self.units)
        if self.width_mm is not None:
            short = length(self.width_mm, self.units)
            across = f"{across.removesuffix(' ' + self.units.value)} x {short}"
        return f"{across} {self.shape.value}"


@dataclass(frozen=True, slots=True)
class SliceSize:
    """One serving seen from above: `width_mm` along the row or ring, `depth_mm` across it."""

    code: str
    name: str
    width_mm: float
    depth_mm: float

    @property
    def footprint_mm2(self) -> float:
        return self.width_mm * self.depth_mm


@dataclass(frozen=True, slots=True)
class Ingredient:
    """Something bought. `contains` and `may_contain` name allergen substances (see consult.core.allergens)."""

    code: str
    name: str
    contains: frozenset[str]
    cost_per_kg: Money
    may_contain: frozenset[str] = frozenset()
    sugar_share: Decimal = Decimal(0)  # by weight; the sugar rule for icings needs it
    raw_egg: bool = False
    pack_grams: Decimal = Decimal(0)  # what one pack holds as it is bought; 0: by weight
    pack_name: str = ""  # "2.5 kg bag", "tray of 30"
    piece_grams: Decimal = Decimal(0)  # what one piece weighs where whole ones are used, as an egg


@dataclass(frozen=True, slots=True)
class RecipeLine:
    ingredient: str  # an Ingredient's code
    grams: Decimal


@dataclass(frozen=True, slots=True)
class Recipe:
    """Ingredients in grams; what they weigh together is one batch."""

    lines: tuple[RecipeLine, ...] = ()

    @property
    def grams(self) -> Decimal:
        return sum((line.grams for line in self.lines), Decimal(0))


@dataclass(frozen=True, slots=True)
class Flavour:
    """A cake. `kind` says how it bakes and weighs: high-fat, foam, dense (carrot, fruit)."""

    code: str
    name: str
    kind: str
    recipe: Recipe
    price_per_serving: Money  # over the shop's price of a plain serving
    batter_g_per_ml: Decimal | None = None  # as the shop weighed it; None: as its kind has it


@dataclass(frozen=True, slots=True)
class Filling:
    """What goes between the layers."""

    code: str
    name: str
    recipe: Recipe
    price_per_serving: Money
    grams_per_ml: Decimal = Decimal("1.1")
    keeps_cool: bool = False  # custard, cream, fruit: must stay in the cold
    # As measured, 0 to 1 and 0 to 14; with both, the Food Code's table says what it needs.
    water_activity: Decimal | None = None
    ph: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Rate:
    """What one use takes: something once, and something each unit of its driver."""

    driver: Driver
    minutes_once: Decimal
    minutes_each: Decimal
    price_once: Money
    price_each: Money
    cost_each: Money  # what the shop pays for material, each unit of the driver
    waiting_minutes: int = 0  # chilling, setting, drying: no hands needed


@dataclass(frozen=True, slots=True)
class Finish:
    """The coat of a tier. `texture` is how the drawing hatches it."""

    code: str
    name: str
    kind: str  # buttercream, fondant, ganache, naked
    texture: str  # smooth, combed, ruffled, rustic, sheer, drip, stencil, painted
    recipe: Recipe
    rate: Rate
    coat_mm: Decimal = Decimal(4)
    grams_per_ml: Decimal = Decimal("1.0")
    lead_days: int = 0
    takes_colour: bool = True
    keeps_cool: bool = False
    cautions: frozenset[str] = frozenset()  # codes of consult.core.cautions
    water_activity: Decimal | None = None  # of what it is coated with, as for a filling
    ph: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Decoration:
    """Something put on. `symbol` is how the drawing shows it."""

    code: str
    name: str
    # How it is drawn: rose, blossom, leaf, pearls, berry, fruit, border, drip, lettering, topper, print,
    # leaf_metal, figure, ribbon.
    symbol: str
    rate: Rate
    recipe: Recipe = field(default_factory=Recipe)
    lead_days: int = 0
    is_eaten: bool = True
    comes_off: str = ""  # how it is taken off before cutting; empty: it stays
    spare_share: Decimal = Decimal(0)  # of fragile pieces made in spare
    takes_colour: bool = False
    cautions: frozenset[str] = frozenset()
    grams_each: Decimal = Decimal(0)  # of its recipe, for one unit of its driver; 0: not said


@dataclass(frozen=True, slots=True)
class BenchTask:
    """A piece of hands-on work that every cake of its kind needs, before any finish or decoration."""

    code: str
    name: str
    driver: Driver  # PER_TIER, PER_CAKE, PER_SERVING, PER_AREA or PER_EDGE
    minutes_once: Decimal
    minutes_each: Decimal
    applies_to: (
        str  # eaten (each eaten tier), every (each tier), join (each tier carried), order, delivery
    )
    waiting_minutes: int = 0
    after: str = ""  # in words, for the kitchen's order of work
