"""What does the sample shop offer? Invented cakes, fillings, coats and decorations with their minutes and prices.

All minutes, lead times and prices are common practice, no source: what one practised decorator needs,
and prices set so that this invented shop earns its hours.
"""

from decimal import Decimal

from shop.core.catalogue import (
    BenchTask,
    Decoration,
    Driver,
    Filling,
    Finish,
    Flavour,
    Rate,
    Recipe,
)
from shop.core.money import Money
from shop.sample_recipes import recipe

TIER, AREA, EDGE = Driver.PER_TIER, Driver.PER_AREA, Driver.PER_EDGE
PIECE, CAKE, SERVING = Driver.PER_PIECE, Driver.PER_CAKE, Driver.PER_SERVING


def flavours(currency: str) -> tuple[Flavour, ...]:
    """Code, name, how it bakes, what a serving costs more."""
    return tuple(
        Flavour(code, name, kind, recipe(code), Money.of(more, currency))
        for code, name, kind, more in (
            ("vanilla-butter-cake", "Vanilla butter cake", "high-fat", "0"),
            ("dark-chocolate-cake", "Dark chocolate cake", "high-fat", "0.30"),
            ("lemon-poppy-seed", "Lemon and poppy seed", "high-fat", "0.25"),
            ("hazelnut-brown-butter", "Hazelnut and brown butter", "high-fat", "0.60"),
            ("carrot-walnut", "Carrot and walnut", "dense", "0.50"),
            ("red-velvet", "Red velvet", "dense", "0.40"),
            ("orange-chiffon", "Orange and olive oil chiffon", "foam", "0.35"),
            ("almond-orange-no-flour", "Almond and orange, no flour", "dense", "0.95"),
        )
    )


def fillings(currency: str) -> tuple[Filling, ...]:
    """Code, name, what a serving costs more, grams a millilitre, whether it must stay cold."""
    return tuple(
        Filling(code, name, recipe(code), Money.of(more, currency), Decimal(weighs), cold)
        for code, name, more, weighs, cold in (
            ("vanilla-buttercream", "Vanilla buttercream", "0", "1.0", False),
            ("raspberry-jam", "Raspberry jam", "0.20", "1.3", False),
            ("fig-jam", "Fig jam", "0.35", "1.3", False),
            ("lemon-curd", "Lemon curd", "0.35", "1.15", True),
            ("dark-ganache", "Dark chocolate ganache", "0.45", "1.2", False),
            ("salted-caramel-buttercream", "Salted caramel buttercream", "0.40", "1.0", False),
            ("cream-cheese-icing", "Cream cheese icing", "0.45", "0.95", True),
            ("hazelnut-praline-cream", "Hazelnut praline cream", "0.60", "1.1", False),
        )
    )


def _rate(
    currency: str,
    driver: Driver,
    minutes: tuple[str, str],
    price: tuple[str, str],
    cost: str,
    waiting: int = 0,
) -> Rate:
    """A rate from (once, each) minutes, (once, each) prices and the material cost of each."""
    once, each = (Decimal(figure) for figure in minutes)
    price_once, price_each = (Money.of(figure, currency) for figure in price)
    return Rate(driver, once, each, price_once, price_each, Money.of(cost, currency), waiting)


def finishes(currency: str) -> tuple[Finish, ...]:
    """Coats. A 6 in tier of 4 in has 6.7 units of area, a 14 in one 21.3."""

    def coat(code, name, kind, texture, of, minutes, price, cost, waiting, **more):
        return Finish(
            code, name, kind, texture, recipe(of),
            _rate(currency, AREA, minutes, price, cost, waiting), **more,
        )  # fmt: skip

    paste = {"coat_mm": Decimal(4), "grams_per_ml": Decimal("1.4")}
    whitened = frozenset({"e171"})
    return (
        # Final smooth coat: 20 to 45 min a tier.
        coat("smooth-buttercream", "Vanilla buttercream, smooth", "buttercream", "smooth",
             "vanilla-buttercream", ("8", "1.75"), ("6.00", "0.60"), "0.17", 30),
        coat("combed-buttercream", "Swiss buttercream, combed", "buttercream", "combed",
             "swiss-buttercream", ("10", "1.9"), ("8.00", "0.80"), "0.22", 30),
        # Palette-knife buttercream: 15 to 40 min a tier.
        coat("rustic-buttercream", "Swiss buttercream, palette knife", "buttercream", "rustic",
             "swiss-buttercream", ("8", "1.5"), ("6.00", "0.70"), "0.22", 20),
        # Rosette-covered: 15 to 30 min for an 8 in tier.
        coat("ruffled-buttercream", "Swiss buttercream, ruffles", "buttercream", "ruffled",
             "swiss-buttercream", ("6", "1.8"), ("8.00", "1.00"), "0.34", 20,
             coat_mm=Decimal(7)),
        coat("semi-naked", "Semi-naked", "naked", "sheer", "vanilla-buttercream",
             ("5", "1.0"), ("3.00", "0.30"), "0.07", 20, coat_mm=Decimal("1.5"), takes_colour=False),
        # Ganache with a sharp edge: 25 to 40 min a tier.
        coat("dark-ganache-smooth", "Dark ganache, sharp edge", "ganache", "smooth", "dark-ganache",
             ("18.5", "1.0"), ("8.00", "1.10"), "0.60", 60,
             grams_per_ml=Decimal("1.2"), takes_colour=False),
        # Under the fondant a coat with a sharp edge, 25 min of the 25 to 40 min it takes in ganache.
        # The fondant on it: 20 to 30 min for 6 to 8 in, 30 to 45 min for 10 to 14 in.
        coat("white-fondant", "Fondant, smooth", "fondant", "smooth", "white-fondant",
             ("38", "1.5"), ("10.00", "1.80"), "0.38", 0, cautions=whitened, **paste),
        # Under-coat and cover, and a stencil on them: 20 to 45 min a tier more.
        coat("stencilled-fondant", "Fondant, lace stencil", "fondant", "stencil", "white-fondant",
             ("52", "3.0"), ("18.00", "3.20"), "0.45", 30, cautions=whitened, **paste),
        # Under-coat and cover, and hand painting on them: 2 to 6 h a tier more.
        coat("painted-fondant", "Fondant, hand painted", "fondant", "painted", "white-fondant",
             ("85", "13.5"), ("40.00", "9.00"), "0.60", 60, lead_days=1,
             cautions=whitened | {"alcohol"}, **paste),
    )  # fmt: skip


LIFT_WIRES = "Lift the flowers off with their holders; count the wires."


# Grams of its recipe that one unit of a decoration takes: from memory, for a shop to weigh its own.
_GRAMS_EACH = {
    "shell-border": "9", "pearl-border": "5", "brush-embroidery": "4", "chocolate-drip": "10",
    "piped-rose": "12", "drop-flower": "2", "sugar-rose": "30", "sugar-peony": "80", "sugar-filler": "6",
    "sugar-leaf": "3", "modelled-figure": "90", "fresh-berries": "60", "dried-orange": "8",
    "edible-print": "4", "lettering": "15",
}  # fmt: skip


def decorations(currency: str) -> tuple[Decoration, ...]:
    """What goes on. A 6 in round has 4.8 units of edge, a 14 in one 11.2."""

    def put_on(code, name, symbol, driver, minutes, price, cost, waiting=0, of="", **more):
        return Decoration(
            code, name, symbol, _rate(currency, driver, minutes, price, cost, waiting),
            recipe(of) if of else Recipe(), grams_each=Decimal(_GRAMS_EACH.get(code, "0")), **more,
        )  # fmt: skip

    wired = {
        "is_eaten": False,
        "comes_off": LIFT_WIRES,
        "spare_share": Decimal("0.1"),  # one spare for each ten fragile pieces
        "takes_colour": True,
        "of": "flower-paste",
    }
    wires, dusted = frozenset({"wires"}), frozenset({"wires", "dust"})
    return (
        # Shell or bead border: 4 to 8 min a tier.
        put_on("shell-border", "Piped shell border", "border", EDGE, ("1.5", "0.55"),
               ("2.00", "0.60"), "0.12", of="vanilla-buttercream", takes_colour=True),
        put_on("pearl-border", "Pearl border, royal icing", "border", EDGE, ("1.5", "0.55"),
               ("3.00", "0.70"), "0.05", 60, of="royal-icing", takes_colour=True),
        # Brush embroidery: 1 to 3 h a tier.
        put_on("brush-embroidery", "Brush embroidery", "border", AREA, ("30", "6.5"),
               ("20.00", "5.00"), "0.08", 60, of="royal-icing", lead_days=1, takes_colour=True),
        # Drip: 10 to 15 min a tier.
        put_on("chocolate-drip", "Chocolate drip", "drip", EDGE, ("8", "0.6"), ("8.00", "0.80"),
               "0.35", 20, of="dark-ganache"),
        # Piped rose: 1 to 3 min. Drop flower: 10 s.
        put_on("piped-rose", "Piped buttercream rose", "rose", PIECE, ("5", "2"), ("0", "2.25"),
               "0.15", 20, of="vanilla-buttercream", takes_colour=True),
        put_on("drop-flower", "Piped drop flower", "blossom", PIECE, ("5", "0.17"), ("3.00", "0.35"),
               "0.03", of="royal-icing", takes_colour=True),
        # Sugar rose 45 min, open peony 1½ to 3 h over five days, filler flower 3 to 8, leaf 2 to 4 min.
        put_on("sugar-rose", "Sugar rose, wired", "rose", PIECE, ("10", "45"), ("0", "32.00"),
               "1.20", 1440, lead_days=4, cautions=dusted, **wired),
        put_on("sugar-peony", "Sugar peony, wired", "rose", PIECE, ("15", "120"), ("0", "85.00"),
               "2.40", 5760, lead_days=5, cautions=dusted, **wired),
        put_on("sugar-filler", "Sugar filler flower, wired", "blossom", PIECE, ("5", "5"),
               ("0", "4.50"), "0.30", 720, lead_days=3, cautions=wires, **wired),
        put_on("sugar-leaf", "Sugar leaf, wired", "leaf", PIECE, ("5", "3"), ("0", "3.00"), "0.20",
               720, lead_days=3, cautions=wires, **wired),
        # Modelled figure: 1 to 3 h.
        put_on("modelled-figure", "Modelled figure", "figure", PIECE, ("0", "120"), ("0", "85.00"),
               "2.00", 1440, of="modelling-paste", lead_days=4, is_eaten=False,
               comes_off="Lift it off; a food-safe stick holds it up.", takes_colour=True,
               cautions=frozenset({"wires", "choking"})),
        # Fresh flowers with picks: 15 to 45 min a cake.
        put_on("fresh-flowers", "Fresh flowers, a cluster", "blossom", PIECE, ("10", "10"),
               ("8.00", "18.00"), "8.00", is_eaten=False,
               comes_off="Pull each pick straight out, then take off the icing the flowers touched.",
               cautions=frozenset({"fresh-flowers", "wires"})),
        put_on("fresh-berries", "Fresh berries, a handful", "berry", PIECE, ("3", "2"), ("0", "4.50"),
               "1.40", of="berries"),
        put_on("dried-orange", "Dried orange slice", "fruit", PIECE, ("6", "1"), ("0", "1.60"), "0.30",
               240, of="orange-slices", lead_days=2, spare_share=Decimal("0.1")),
        # Gold leaf accents: 10 to 30 min a tier.
        put_on("gold-leaf", "Gold leaf accents", "leaf_metal", TIER, ("0", "18"), ("0", "22.00"), "7.00",
               cautions=frozenset({"gold"})),
        # Edible print: 10 to 20 min.
        put_on("edible-print", "Edible print", "print", PIECE, ("5", "10"), ("0", "16.00"), "2.50",
               of="wafer-print", cautions=frozenset({"azo-colours"})),
        # Lettering: 5 to 15 min.
        put_on("lettering", "Piped lettering, a line", "lettering", PIECE, ("3", "7"), ("0", "10.00"),
               "0.10", of="royal-icing", takes_colour=True),
        put_on("card-topper", "Card topper, made to order", "topper", PIECE, ("0", "4"), ("0", "24.00"),
               "11.00", lead_days=7, is_eaten=False, comes_off="Pull it straight up, stick and all.",
               cautions=frozenset({"wires", "small-parts"})),
        put_on("satin-ribbon", "Satin ribbon round the foot", "ribbon", EDGE, ("2", "0.3"),
               ("2.00", "0.50"), "0.15", is_eaten=False, takes_colour=True,
               comes_off="Cut the ribbon at the back and draw it off; no pins are used."),
    )  # fmt: skip


def tasks() -> tuple[BenchTask, ...]:
    """Bench work: code, name, driver, minutes once and each, for what, waiting, after what.

    Whole cakes come to what decorators report: two tiers in fondant about 8 h all in (a forum post of
    2009), 4 tiers in fondant with shopping and delivery up to 26 h (a trade page).
    """
    return tuple(
        BenchTask(code, name, driver, Decimal(once), Decimal(each), applies_to, waiting, after)
        for code, name, driver, once, each, applies_to, waiting, after in (
            # Consultation 30 to 60 min; sketch, costing and ordering 30 to 90 min an order.
            ("consultation", "Consultation, sketch and costing", CAKE, "50", "0", "order", 0, ""),
            ("order-and-weigh", "Order, shop and weigh out", CAKE, "40", "0", "order", 0, ""),
            ("board", "Cover the board", CAKE, "12", "0", "order", 0, ""),
            # 15 min for a tier of middle size; a large batter is mixed in several goes.
            ("mix", "Mix batter and prepare pans", SERVING, "10", "0.25", "eaten", 0, ""),
            ("bake", "Bake", TIER, "3", "0", "eaten", 45, "Mix batter"),
            ("cool", "Cool, wrap and chill", TIER, "3", "0", "eaten", 180, "Bake"),
            ("torte", "Level and split", TIER, "4", "0", "eaten", 0, "Cool"),
            ("icing", "Make filling and icing", TIER, "8", "0", "eaten", 0, ""),
            ("colouring", "Colour the coat", TIER, "10", "0", "every", 0, ""),
            # 5 to 10 min a tier; 2 h to settle at least.
            (
                "fill",
                "Fill and stack the layers",
                AREA,
                "4",
                "0.28",
                "eaten",
                120,
                "Level and split",
            ),
            # 10 to 15 min a tier, then 15 to 30 min in the cold.
            ("crumb-coat", "Crumb coat", AREA, "8", "0.32", "eaten", 25, "Fill"),
            ("wash-up", "Wash up", TIER, "15", "0", "eaten", 0, "Level and split"),
            # For what goes wrong: 15 to 20 % of the hands-on time.
            (
                "reserve",
                "Reserve, about 15 % of the work",
                SERVING,
                "18",
                "0.4",
                "eaten",
                0,
                "Crumb coat",
            ),
            ("tier-board", "Cut and glue its board", TIER, "4", "0", "every", 0, ""),
            ("dowel", "Dowel and stack", TIER, "18", "0", "join", 0, "Finish"),
            ("box", "Box and pack the kit", CAKE, "15", "0", "order", 0, "Dowel and stack"),
            ("set-up", "Set up at the venue", CAKE, "60", "0", "delivery", 0, "Drive"),
        )
    )
