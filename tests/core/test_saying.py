"""Does the record speak in names and in the shop's units, and only of what changed?"""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from consult.core.design import (
    ChosenDecoration,
    Event,
    HandOver,
    How,
    Kind,
    KitchenCake,
    Limits,
    Need,
)
from consult.core.saying import (
    coats_said,
    decorations_said,
    event_said,
    insides_said,
    limits_said,
    need_said,
    stack_said,
)
from shop.core.catalogue import Shape
from shop.core.measures import Units
from tests.makers import INCH, make_book, make_brief, make_design, make_tier, usd

BOOK = make_book()


def test_tiers_are_said_in_the_shops_units():
    assert stack_said(make_design((10, 8)), BOOK) == ("10 in round + 8 in round, each 4 in tall")
    metric = replace(BOOK, identity=replace(BOOK.identity, units=Units.CENTIMETRES))
    assert stack_said(make_design((10,)), metric) == "25.4 cm round, each 10.2 cm tall"


def test_a_tier_that_is_kept_or_taller_says_so_and_a_kitchen_cake_follows():
    cake = KitchenCake(Shape.RECTANGLE, 13 * INCH, 4 * INCH, 9 * INCH)
    tiers = (make_tier(9, height=5), make_tier(6, kind=Kind.KEPT))
    assert stack_said(make_design(tiers, kitchen_cakes=(cake,)), BOOK) == (
        "9 in round, 5 in tall + 6 in round, 4 in tall, kept; 1 kitchen cake, 13 x 9 in rectangle"
    )


def test_no_tiers_are_said_too():
    assert stack_said(make_design(()), BOOK) == "no tiers"


def test_only_the_tier_with_another_flavour_is_said_and_by_its_name():
    before = make_design((10, 8)).tiers
    after = (before[0], replace(before[1], flavour="carrot", filling="ganache"))
    names = f"{BOOK.flavour('carrot').name} with {BOOK.filling('ganache').name}"
    assert insides_said(before, after, BOOK) == f"tier 2 {names}"
    assert insides_said(before, before, BOOK) == "as they were"


def test_what_is_on_every_tier_is_said_once():
    before = make_design((10, 8), finish="").tiers
    after = tuple(
        replace(tier, finish="fondant", colour="#C9D2BD", colour_name="sage") for tier in before
    )
    assert coats_said(before, after, BOOK) == f"{BOOK.finish('fondant').name} in sage on every tier"


def test_decorations_say_what_came_on_and_what_came_off():
    name = BOOK.decoration("sugar_rose").name
    five = ChosenDecoration("sugar_rose", 5, 1)
    one = ChosenDecoration("sugar_rose", 1, None)
    assert decorations_said((), (five,), BOOK) == f"5 × {name} on tier 2"
    assert decorations_said((one, five), (five,), BOOK) == (
        f"no longer 1 × {name} on the whole cake"
    )
    assert decorations_said((five,), (), BOOK) == "none"
    assert decorations_said((five,), (five,), BOOK) == "as they were"


def test_only_what_changed_of_the_need_is_said():
    before = Need(80, "dessert")
    after = replace(before, guests=96, eating_share=Decimal("0.905"), keep_top=True)
    assert need_said(before, after, BOOK) == "96 guests, 90.5 % eat, top tier kept"
    party = need_said(before, replace(before, slice="party"), BOOK)
    assert party == f"{BOOK.slices[1].name.lower()}s"


def test_limits_are_said_in_words():
    after = Limits(
        shapes=(Shape.ROUND, Shape.SQUARE), heights_mm=(4 * INCH,), most_tiers=3, budget=usd("900")
    )
    assert limits_said(Limits(), after, BOOK) == (
        "round or square, 1 to 3 tiers, 4 in, budget $900.00"
    )
    assert limits_said(after, after, BOOK) == "as it was"


def test_only_what_changed_of_the_event_is_said_and_nothing_of_the_client_herself():
    before = make_brief()
    after = replace(
        before,
        event=Event("wedding", date(2027, 6, 1)),
        hand_over=HandOver(How.DELIVERY, before.hand_over.at, Decimal("12.5"), "The Old Boathouse"),
        avoid=frozenset({"peanut"}),
    )
    assert event_said(before, after) == ("on 2027-06-01, delivery, 12.5 km, place, what to avoid")
