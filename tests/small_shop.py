"""A very small invented shop, for tests of the core that need a book and not a catalogue."""

import dataclasses
from decimal import Decimal

from shop.core.book import ShopBook
from shop.core.catalogue import (
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
    StackLimits,
    Tax,
    Terms,
)


def usd(amount):
    return Money.of(amount, "USD")


def recipe(**grams):
    return Recipe(tuple(RecipeLine(code, Decimal(amount)) for code, amount in grams.items()))


def ingredient(code, *contains, sugar="0", raw_egg=False, may=()):
    return Ingredient(
        code, code.replace("_", " "), frozenset(contains), usd("2.00"), frozenset(may),
        Decimal(sugar), raw_egg,
    )  # fmt: skip


RATE = Rate(Driver.PER_TIER, Decimal(0), Decimal(20), usd("0"), usd("10.00"), usd("1.00"))
A_PIECE = Rate(Driver.PER_PIECE, Decimal(5), Decimal(3), usd("0"), usd("2.00"), usd("0.20"))

INGREDIENTS = (
    ingredient("flour", "wheat"),
    ingredient("egg", "egg"),
    ingredient("raw_white", "egg", raw_egg=True),
    ingredient("butter", "milk"),
    ingredient("cream", "milk"),
    ingredient("sugar", sugar="1"),
    ingredient("icing_sugar", sugar="1"),
    ingredient("hazelnuts", "hazelnut", may=("almond", "walnut")),
    ingredient("pine_nuts", "pine nut"),
    ingredient("coconut_flakes", "coconut"),
    ingredient("lupin_flour", "lupin"),
    ingredient("figs", sugar="0.5"),
)

HOURS = OpenHours(bench_minutes=(0, 480, 480, 480, 480, 360, 0), bake_days_before=3)


def a_book(regime=Regime.US, may_contain=(), hours=HOURS, **changes):
    """A shop with two flavours, two fillings, three finishes and four decorations, on inches and dollars."""
    policies = Policies(
        price_per_serving=usd("5.00"), minimum_order=usd("150.00"), deposit_share=Decimal("0.25"),
        deposit_due_days=7, balance_due_days=14, quote_holds_days=14, least_notice_days=7,
        rushes=(), delivery=Delivery(usd("30.00"), Decimal(10), usd("1.50"), usd("40.00"), Decimal(80)),
        tax=Tax("sales tax", Decimal("0.07"), included=False), stacks=StackLimits(heights_mm=(101.6, 127.0)),
        hours=hours, hour_costs=usd("30.00"), overhead_share=Decimal("0.2"),
        may_contain=frozenset(may_contain),
    )  # fmt: skip
    inches = [
        Pan(shape, Decimal(size), Decimal(3), Units.INCHES, owned)
        for shape, size, owned in (
            (Shape.ROUND, 6, 2), (Shape.ROUND, 8, 2), (Shape.ROUND, 10, 2), (Shape.ROUND, 12, 1),
            (Shape.ROUND, 14, 0), (Shape.SQUARE, 8, 1), (Shape.SQUARE, 12, 1),
        )
    ]  # fmt: skip
    book = ShopBook(
        identity=Identity(
            "Thimble Lane Cakes",
            "3 Thimble Lane",
            "",
            "hello@example.org",
            "USD",
            Units.INCHES,
            Paper.LETTER,
            regime,
        ),
        policies=policies,
        terms=Terms("1", "Terms.", "I agree to this sheet.", "1"),
        pans=tuple(inches),
        slices=(
            SliceSize("dessert", "Dessert slice", 25.4, 50.8),
            SliceSize("party", "Party slice", 38.1, 50.8),
        ),
        ingredients=INGREDIENTS,
        flavours=(
            Flavour(
                "vanilla",
                "Vanilla butter cake",
                "high-fat",
                recipe(flour=300, butter=250, sugar=300, egg=250),
                usd("0"),
            ),
            Flavour(
                "hazelnut",
                "Hazelnut cake",
                "high-fat",
                recipe(flour=200, hazelnuts=150, sugar=250, egg=250),
                usd("0.50"),
            ),
            Flavour(
                "coconut",
                "Coconut cake",
                "high-fat",
                recipe(flour=300, coconut_flakes=80, egg=200),
                usd("0.50"),
            ),
        ),
        fillings=(
            Filling("fig", "Fig jam", recipe(figs=500, sugar=350), usd("0")),
            Filling(
                "mousse",
                "Lemon mousse",
                recipe(raw_white=100, cream=300, sugar=100),
                usd("0.75"),
                keeps_cool=True,
            ),
        ),
        finishes=(
            Finish(
                "plain",
                "Plain buttercream",
                "buttercream",
                "smooth",
                recipe(butter=227, icing_sugar=480, cream=30),
                RATE,
            ),
            Finish(
                "silky",
                "Silky buttercream",
                "buttercream",
                "smooth",
                recipe(butter=400, egg=200, sugar=250),
                RATE,
            ),
            Finish(
                "white",
                "White fondant",
                "fondant",
                "smooth",
                recipe(icing_sugar=900),
                RATE,
                takes_colour=False,
                cautions=frozenset(("e171",)),
            ),
        ),
        decorations=(
            Decoration(
                "rose",
                "Sugar rose",
                "rose",
                A_PIECE,
                recipe(icing_sugar=20, egg=1),
                lead_days=14,
                comes_off="lift off; the wire is in a pick",
                takes_colour=True,
                is_eaten=False,
                cautions=frozenset(("inedible-parts",)),
            ),
            Decoration(
                "pine", "Pine nut praline", "berry", A_PIECE, recipe(pine_nuts=50, sugar=50)
            ),
            Decoration(
                "leaf", "Gold leaf", "leaf_metal", A_PIECE, cautions=frozenset(("gold", "alcohol"))
            ),
            Decoration(
                "bunting",
                "Paper bunting",
                "topper",
                A_PIECE,
                is_eaten=False,
                comes_off="pull out both sticks",
            ),
        ),
        tasks=(),
    )
    return dataclasses.replace(book, **changes)
