"""What does the tests' invented shop bake, put on, charge and promise? Its catalogue and its policies."""

from decimal import Decimal

from shop.core.catalogue import (
    BenchTask,
    Decoration,
    Driver,
    Filling,
    Finish,
    Flavour,
    Ingredient,
    Pan,
    Rate,
    Recipe,
    RecipeLine,
    Shape,
    SliceSize,
)
from shop.core.measures import Units
from shop.core.money import Money
from shop.core.policies import (
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

INCH = 25.4


def usd(amount: str | int) -> Money:
    """Dollars and cents: usd("12.50")."""
    return Money.of(str(amount), "USD")


def make_rate(
    driver: Driver = Driver.PER_PIECE,
    minutes: str = "0",
    price: str = "0",
    *,
    minutes_once: str = "0",
    price_once: str = "0",
    cost: str = "0",
    waiting: int = 0,
) -> Rate:
    """What one use takes; `minutes`, `price` and `cost` are for each unit of the driver."""
    return Rate(
        driver=driver,
        minutes_once=Decimal(minutes_once),
        minutes_each=Decimal(minutes),
        price_once=usd(price_once),
        price_each=usd(price),
        cost_each=usd(cost),
        waiting_minutes=waiting,
    )


def make_recipe(**grams: int) -> Recipe:
    """Ingredients by code, in grams: make_recipe(flour=500, butter=250)."""
    return Recipe(tuple(RecipeLine(code, Decimal(weight)) for code, weight in grams.items()))


def make_pan(shape: Shape, size: str, width: str | None = None, owned: int = 2) -> Pan:
    """A pan in inches, 3 in deep."""
    short = None if width is None else Decimal(width)
    return Pan(shape, Decimal(size), Decimal(3), Units.INCHES, owned, short)


def ingredients() -> tuple[Ingredient, ...]:
    rows = (
        ("flour", "wheat flour", {"wheat"}, "1.60"),
        ("sugar", "sugar", set(), "1.80"),
        ("icing_sugar", "icing sugar", set(), "2.40"),
        ("butter", "butter", {"milk"}, "9.50"),
        ("egg", "egg", {"egg"}, "6.00"),
        ("milk", "whole milk", {"milk"}, "1.40"),
        ("cream", "cream", {"milk"}, "6.20"),
        ("cocoa", "cocoa", set(), "14.00"),
        ("chocolate", "dark chocolate", {"soy"}, "13.00"),
        ("hazelnut", "roasted hazelnuts", {"hazelnut"}, "19.00"),
        ("carrot", "carrot", set(), "2.00"),
        ("fruit", "berries", set(), "8.00"),
        ("fondant", "rolled fondant", set(), "7.00"),
    )
    sugary = {"sugar": "1", "icing_sugar": "1", "fondant": "0.85"}
    return tuple(
        Ingredient(
            code,
            name,
            frozenset(contains),
            usd(cost),
            sugar_share=Decimal(sugary.get(code, "0")),
        )
        for code, name, contains, cost in rows
    )


def flavours() -> tuple[Flavour, ...]:
    plain = make_recipe(flour=500, sugar=500, butter=450, egg=500, milk=150)
    return (
        Flavour("vanilla", "vanilla", "high-fat", plain, usd("0")),
        Flavour(
            "chocolate",
            "dark chocolate",
            "high-fat",
            make_recipe(flour=420, cocoa=90, sugar=550, butter=400, egg=450, milk=220),
            usd("0.40"),
        ),
        Flavour(
            "hazelnut",
            "hazelnut",
            "high-fat",
            make_recipe(flour=400, hazelnut=180, sugar=480, butter=430, egg=500),
            usd("0.75"),
        ),
        Flavour(
            "chiffon",
            "lemon chiffon",
            "foam",
            make_recipe(flour=400, sugar=420, egg=700, milk=180),
            usd("0.50"),
        ),
        Flavour(
            "carrot",
            "carrot",
            "dense",
            make_recipe(flour=450, carrot=600, sugar=420, egg=400),
            usd("0.60"),
        ),
    )


def fillings() -> tuple[Filling, ...]:
    return (
        Filling(
            "buttercream",
            "vanilla buttercream",
            make_recipe(butter=500, icing_sugar=1000, milk=60),
            usd("0"),
        ),
        Filling("jam", "raspberry jam", make_recipe(fruit=600, sugar=400), usd("0.25")),
        Filling(
            "custard",
            "vanilla custard",
            make_recipe(milk=700, egg=200, sugar=150),
            usd("0.60"),
            keeps_cool=True,
        ),
        Filling("ganache", "dark ganache", make_recipe(chocolate=500, cream=500), usd("0.70")),
    )


def finishes() -> tuple[Finish, ...]:
    buttercream = make_recipe(butter=500, icing_sugar=1000, milk=60)
    return (
        Finish(
            "smooth",
            "Swiss buttercream, smooth",
            "buttercream",
            "smooth",
            buttercream,
            make_rate(Driver.PER_AREA, "1.2", "0", minutes_once="10", waiting=20),
        ),
        Finish(
            "combed",
            "buttercream, combed upright",
            "buttercream",
            "combed",
            buttercream,
            make_rate(
                Driver.PER_EDGE, "0.8", "0.15", minutes_once="12", price_once="4", waiting=20
            ),
        ),
        Finish(
            "fondant",
            "rolled fondant",
            "fondant",
            "smooth",
            make_recipe(fondant=1000),
            make_rate(
                Driver.PER_AREA, "1.6", "0.65", minutes_once="15", price_once="6", cost="0.02"
            ),
        ),
        Finish(
            "naked",
            "barely coated",
            "naked",
            "sheer",
            buttercream,
            make_rate(Driver.PER_TIER, "12", "0", waiting=15),
            coat_mm=Decimal(1),
            takes_colour=False,
        ),
    )


def decorations() -> tuple[Decoration, ...]:
    sugar = make_recipe(icing_sugar=1000)
    return (
        Decoration(
            "sugar_rose",
            "sugar rose, wired",
            "rose",
            make_rate(Driver.PER_PIECE, "45", "12", cost="0.80"),
            sugar,
            lead_days=5,
            is_eaten=False,
            comes_off="lift out with its wire",
            spare_share=Decimal("0.1"),
            takes_colour=True,
        ),
        Decoration(
            "pearl_border",
            "pearl border",
            "border",
            make_rate(Driver.PER_EDGE, "0.7", "0.35", minutes_once="5", price_once="3"),
            sugar,
            takes_colour=True,
        ),
        Decoration(
            "gold_leaf",
            "gold leaf accents",
            "leaf_metal",
            make_rate(Driver.PER_TIER, "20", "28", cost="9.00"),
        ),
        Decoration(
            "drip",
            "chocolate drip",
            "drip",
            make_rate(Driver.PER_EDGE, "1.1", "0.40", minutes_once="8", waiting=30),
            make_recipe(chocolate=500, cream=500),
        ),
        Decoration(
            "stencil",
            "lace stencil",
            "print",
            make_rate(Driver.PER_AREA, "1.9", "1.10", minutes_once="10"),
            sugar,
        ),
        Decoration(
            "berries",
            "fresh berries",
            "berry",
            make_rate(Driver.PER_SERVING, "0.25", "0.45", cost="0.20"),
            make_recipe(fruit=1000),
        ),
        Decoration(
            "lettering",
            "name in piped script",
            "lettering",
            make_rate(Driver.PER_CAKE, "12", "15"),
            sugar,
            takes_colour=True,
        ),
        Decoration(
            "topper",
            "wooden topper",
            "topper",
            make_rate(Driver.PER_PIECE, "3", "18", cost="6.50"),
            is_eaten=False,
            comes_off="pull straight up",
        ),
    )


def tasks() -> tuple[BenchTask, ...]:
    """Minutes within the ranges that decorators give for each task (common practice, no source)."""
    rows = (
        ("mix", "Mix batter and prepare pans", Driver.PER_TIER, "0", "15", "eaten", 0),
        ("bake", "Bake and cool", Driver.PER_TIER, "0", "4", "eaten", 220),
        ("level", "Level and torte", Driver.PER_TIER, "0", "4", "eaten", 0),
        ("fill", "Fill and stack the layers", Driver.PER_TIER, "0", "7", "eaten", 120),
        ("crumb", "Crumb coat", Driver.PER_AREA, "6", "0.4", "every", 20),
        ("join", "Dowel and stack", Driver.PER_TIER, "0", "15", "join", 0),
        ("design", "Costing and ordering", Driver.PER_CAKE, "0", "45", "order", 0),
        ("box", "Box and pack", Driver.PER_CAKE, "0", "15", "order", 0),
        ("set_up", "Set up at the venue", Driver.PER_CAKE, "0", "30", "delivery", 0),
    )
    return tuple(
        BenchTask(code, name, driver, Decimal(once), Decimal(each), applies_to, waiting)
        for code, name, driver, once, each, applies_to, waiting in rows
    )


def identity() -> Identity:
    return Identity(
        name="Quince and Crumb",
        address="4 Mill Lane, Eastwater",
        phone="+1 555 0100",
        email="cakes@example.org",
        currency="USD",
        units=Units.INCHES,
        paper=Paper.LETTER,
        regime=Regime.US,
        time_zone="America/New_York",
        how_to_pay="By bank transfer or by card at the counter.",
    )


def policies() -> Policies:
    """Within the ranges that bakers post (common practice, no source)."""
    return Policies(
        price_per_serving=usd("5.50"),
        minimum_order=usd("150"),
        deposit_share=Decimal("0.5"),
        deposit_due_days=7,
        balance_due_days=14,
        quote_holds_days=14,
        least_notice_days=5,
        rushes=(
            Rush(14, Decimal("0.15"), usd("40")),
            Rush(7, Decimal("0.35"), usd("60")),
        ),
        delivery=Delivery(
            base=usd("40"),
            included_km=Decimal(15),
            per_km=usd("2.50"),
            set_up=usd("30"),
            furthest_km=Decimal(80),
        ),
        tax=Tax("sales tax", Decimal(0), included=False),
        stacks=StackLimits(),
        hours=OpenHours((0, 420, 420, 420, 480, 300, 0)),
        hour_costs=usd("22"),
        overhead_share=Decimal("0.2"),
        may_contain=frozenset({"peanut", "hazelnut", "sesame"}),
    )


def terms() -> Terms:
    return Terms(
        version="3",
        text="A deposit holds the date. Changes are possible until 14 days before hand-over.",
        consent="I have read this design sheet and its terms, and I agree to them.",
        consent_version="2",
    )


def pans() -> tuple[Pan, ...]:
    rounds = [make_pan(Shape.ROUND, str(size)) for size in (4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 16)]
    squares = [make_pan(Shape.SQUARE, str(size)) for size in (6, 8, 10, 12)]
    return (*rounds, *squares, make_pan(Shape.RECTANGLE, "13", "9"))


def slices() -> tuple[SliceSize, ...]:
    return (
        SliceSize("dessert", "dessert slice", 1 * INCH, 2 * INCH),
        SliceSize("party", "party slice", 1.5 * INCH, 2 * INCH),
        SliceSize("finger", "finger slice", 1 * INCH, 1 * INCH),
    )
