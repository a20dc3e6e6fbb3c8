"""Do the lines add up, is each rule at its edge, and are the dates within their bounds?"""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from consult.core import choices
from consult.core.design import Brief, ChosenDecoration, Kind, KitchenCake, Limits
from consult.core.quote import extras_of, kitchen_cake_price, notice_days, quote_of, total_of
from consult.core.stack_costs import BriefCosts
from consult.core.stack_rules import kitchen_options
from shop.core.catalogue import Driver, Shape
from shop.core.measures import Units
from shop.core.money import Money, half_up, total
from shop.core.policies import Rush, Tax
from tests.makers import (
    INCH,
    TODAY,
    WEDDING_DAY,
    make_book,
    make_brief,
    make_design,
    make_rate,
    make_tier,
    usd,
)

PLAIN = {"rushes": (), "minimum_order": usd("0"), "tax": Tax("sales tax", Decimal(0), False)}


def line(quote, kind):
    found = [one for one in quote.lines if one.kind == kind]
    assert len(found) <= 1
    return found[0] if found else None


def book_with(**changes):
    return make_book(**{**PLAIN, **changes})


def test_a_tier_is_one_line_of_servings_flavour_filling_and_finish():
    # 10 in round: 38 dessert slices (chart of 2-in pans); 38 x (5.50 + 0.75 + 0.25) = 247.00;
    # combed: 4.00 + 0.15 x pi x 25.4 / 10 = 5.197; together 252.197.
    brief = make_brief(tiers=(10,), design=make_design(
        (10,), flavour="hazelnut", filling="jam", finish="combed"))  # fmt: skip
    [only] = quote_of(brief, book_with(), TODAY).lines
    assert only.what == "Tier 1, 10 in round, 38 servings"
    assert only.amount == usd("252.20")
    assert only.why == (
        "38 servings at $5.50, $0.75 a serving more for hazelnut, $0.25 a serving more for raspberry"
        " jam. buttercream, combed upright: $4.00 once; 31.4 in (79.8 cm) edge, $0.15 each 10 cm."
    )


def test_kept_tier_is_priced_as_what_it_would_give():
    book = book_with()
    kept = quote_of(make_brief(keep_top=True), book, TODAY)
    assert kept.total == quote_of(make_brief(), book, TODAY).total
    assert kept.lines[2].what == "Tier 3, 6 in round, kept for the couple"


def test_display_tier_is_priced_by_its_finish_alone():
    tier = make_tier(8, kind=Kind.DISPLAY, finish="fondant", flavour="hazelnut")
    [only] = quote_of(make_brief(tiers=(tier,)), book_with(), TODAY).lines
    # 6.00 + 0.65 x (pi x 20.32 x (20.32 / 4 + 10.16)) / 100 = 6.00 + 0.65 x 9.7288
    assert only.amount == usd("12.32")
    assert only.why.startswith("Display: finish only.")


def test_a_decoration_on_every_tier_is_one_line():
    book = book_with()
    brief = make_brief(decorations=[ChosenDecoration("pearl_border")])
    # 3.00 + 0.35 x 9.5756 = 6.35; 0.35 x 7.1817 = 2.51; 0.35 x 4.7878 = 1.68
    border = line(quote_of(brief, book, TODAY), "decoration")
    assert (border.what, border.amount) == ("Pearl border", usd("10.54"))


def test_spare_pieces_are_not_charged():
    brief = make_brief(decorations=[ChosenDecoration("sugar_rose", 5, 2)])
    roses = line(quote_of(brief, book_with(), TODAY), "decoration")
    assert (roses.what, roses.amount, roses.why) == (
        "Sugar rose, wired, 5 pieces", usd("60.00"), "5 pieces, $12.00 a piece.")  # fmt: skip


@pytest.mark.parametrize("driver", list(Driver))
def test_a_free_decoration_is_a_line_of_nothing(driver):
    book = book_with()
    free = replace(book.decorations[0], rate=make_rate(driver, "3"))
    brief = make_brief(decorations=[ChosenDecoration(free.code)])
    found = line(quote_of(brief, replace(book, decorations=(free,)), TODAY), "decoration")
    assert (found.amount, found.why) == (usd("0"), "No extra.")


def test_kitchen_cakes_are_one_line_for_all_alike():
    cake = KitchenCake(Shape.SQUARE, 8 * INCH, 4 * INCH, count=2)
    quote = quote_of(make_brief(design=make_design(kitchen_cakes=(cake,))), book_with(), TODAY)
    found = line(quote, "kitchen cake")
    assert (found.what, found.amount) == ("2 kitchen cakes, 8 in square", usd("352.00"))
    assert found.why.startswith("2 cakes at $176.00 each. 32 servings at $5.50")


# By hand: at half the price of its servings the two cakes of 352.00 cost 176.00; the coat is no extra here.
def test_a_kitchen_cakes_serving_costs_the_share_that_the_shop_set():
    cake = KitchenCake(Shape.SQUARE, 8 * INCH, 4 * INCH, count=2)
    brief = make_brief(design=make_design(kitchen_cakes=(cake,)))
    whole, half = (
        line(quote_of(brief, book_with(kitchen_cake_share=Decimal(share)), TODAY), "kitchen cake")
        for share in ("1", "0.5")
    )
    assert (whole.amount, half.amount) == (usd("352.00"), usd("176.00"))
    assert "a serving costs 50 % of the price here" in half.why
    assert "costs 50" not in whole.why


def test_the_coat_of_a_kitchen_cake_costs_what_the_coat_does():
    cake = KitchenCake(Shape.SQUARE, 8 * INCH, 4 * INCH, finish="fondant")
    book = book_with(kitchen_cake_share=Decimal(0))
    rate = book.finish("fondant").rate
    price = kitchen_cake_price(cake, 10, book)
    tier = make_tier(8, shape=Shape.SQUARE, finish="fondant")
    measured = choices.units_of(rate.driver, tier, 10)
    assert price == Money(half_up(rate.price_once.minor + rate.price_each.minor * measured), "USD")
    assert price > usd("0")


def test_a_card_with_kitchen_cakes_is_priced_as_its_quote():
    book = book_with(kitchen_cake_share=Decimal("0.75"))
    option = kitchen_options(make_brief(limits=Limits(kitchen_cake=True)), book)[0]
    cake = KitchenCake(option.shape, option.size_mm, option.height_mm, option.width_mm)
    brief = make_brief(design=make_design(kitchen_cakes=(cake,)))
    priced = BriefCosts(brief, book).kitchen(option)[0]
    assert priced == line(quote_of(brief, book, TODAY), "kitchen cake").amount.minor


# One 8 in round is 24 servings at 5.50: 132.00.
@pytest.mark.parametrize(
    ("least", "top_up"), [("131.99", None), ("132.00", None), ("132.01", "0.01"), ("150", "18.00")]
)
def test_minimum_order_is_reached_by_its_own_line(least, top_up):
    quote = quote_of(make_brief(tiers=(8,)), book_with(minimum_order=usd(least)), TODAY)
    found = line(quote, "minimum")
    assert (found and str(found.amount)) == top_up
    assert quote.total == max(usd("132"), usd(least))
    if found:
        assert found.why == (
            f"The smallest order is {usd(least).written()}; this cake comes to $132.00."
        )


RUSHES = (Rush(14, Decimal("0.15"), usd("10")), Rush(7, Decimal("0.35"), usd("60")))


@pytest.mark.parametrize(
    ("days", "amount"),
    [
        (15, None),
        (14, None),  # fourteen days of notice are not fewer than fourteen
        (13, "19.80"),  # 15 % of 132
        (7, "19.80"),
        (6, "60.00"),  # 35 % is 46.20, below the least of 60
        (0, "60.00"),
    ],
)
def test_short_notice_costs_the_dearest_rule_that_matches(days, amount):
    brief = make_brief(tiers=(8,), on=TODAY + timedelta(days=days))
    for rushes in (RUSHES, RUSHES[::-1]):
        found = line(quote_of(brief, book_with(rushes=rushes), TODAY), "rush")
        assert (found and str(found.amount)) == amount


def test_short_notice_is_a_share_of_the_cake_without_delivery_or_top_up():
    brief = make_brief(tiers=(8,), on=TODAY + timedelta(days=10), delivery_km=10)
    quote = quote_of(brief, book_with(rushes=RUSHES, minimum_order=usd("200")), TODAY)
    assert line(quote, "rush").amount == usd("19.80")


def test_without_a_date_nobody_is_in_a_hurry():
    brief = make_brief(on=None)
    assert notice_days(brief, TODAY) is None
    assert line(quote_of(brief, book_with(rushes=RUSHES), TODAY), "rush") is None


@pytest.mark.parametrize(
    ("kilometres", "amount", "too_far"),
    [
        ("0", "70.00", False),  # 40 and 30 for setting up
        ("15", "70.00", False),
        ("15.1", "70.25", False),
        ("25", "95.00", False),
        ("80", "232.50", False),
        ("80.1", "232.75", True),
    ],
)
def test_delivery_by_distance(kilometres, amount, too_far):
    quote = quote_of(make_brief(delivery_km=kilometres), book_with(), TODAY)
    assert str(line(quote, "delivery").amount) == amount
    assert [one.where for one in quote.problems] == ["event.distance_km"] * too_far


def test_a_collected_cake_has_no_delivery_line():
    brief = make_brief()
    far = replace(brief, hand_over=replace(brief.hand_over, distance_km=Decimal(500)))
    quote = quote_of(far, book_with(), TODAY)
    assert line(quote, "delivery") is None
    assert quote.problems == ()


def test_tax_on_top_is_a_line():
    brief = make_brief(tiers=(8,))
    quote = quote_of(brief, book_with(tax=Tax("sales tax", Decimal("0.0825"), False)), TODAY)
    assert (line(quote, "tax").what, line(quote, "tax").amount) == ("Sales tax", usd("10.89"))
    assert quote.total == usd("142.89")
    assert quote.tax_words == "includes 8.25 % sales tax: $10.89"


def test_tax_within_is_words_and_changes_no_total():
    # 548.10 with 8 % inside: 548.10 x 8 / 108 = 40.60
    book = book_with(tax=Tax("sales tax", Decimal("0.08"), True), minimum_order=usd("548.10"))
    quote = quote_of(make_brief(tiers=(8,)), book, TODAY)
    assert quote.total == usd("548.10")
    assert line(quote, "tax") is None
    assert quote.tax_words == "includes 8 % sales tax: $40.60"


def test_without_tax_nothing_is_said_of_it():
    assert quote_of(make_brief(), book_with(), TODAY).tax_words == ""


@pytest.mark.parametrize(("budget", "over"), [("131.99", True), ("132", False), ("132.01", False)])
def test_a_budget_that_is_passed_is_said(budget, over):
    brief = make_brief(tiers=(8,), limits=Limits(budget=usd(budget)))
    problems = quote_of(brief, book_with(), TODAY).problems
    assert [one.where for one in problems] == ["tiers.budget"] * over
    if over:
        assert problems[0].says == "The total of $132.00 is $0.01 over the budget of $131.99."


@pytest.mark.parametrize(
    ("days_to_go", "deposit_due", "balance_due", "holds"),
    [
        (73, 7, 59, 14),
        (21, 7, 7, 14),
        (14, 7, 7, 14),  # the balance is never asked for before the deposit
        (12, 7, 7, 12),
        (11, 7, 7, 11),  # work may begin three days before hand-over, so on day 8
        (10, 6, 6, 10),
        (8, 4, 4, 8),
        (5, 1, 1, 5),
        (4, 0, 0, 4),
        (3, 0, 0, 3),  # work may begin today: everything at once
        (0, 0, 0, 0),
        (-2, 0, 0, 0),  # a day that is past: nothing before today
    ],
)
def test_money_is_due_before_work_on_the_cake_may_begin(
    days_to_go, deposit_due, balance_due, holds
):
    quote = quote_of(make_brief(on=TODAY + timedelta(days=days_to_go)), make_book(), TODAY)
    after = [
        (day - TODAY).days for day in (quote.deposit_due, quote.balance_due, quote.holds_until)
    ]
    assert after == [deposit_due, balance_due, holds]


def test_a_balance_asked_for_late_is_due_before_the_first_bench_day():
    # The shop asks two days before hand-over, but may begin five days before it.
    hours = replace(make_book().policies.hours, bake_days_before=5)
    book = make_book(balance_due_days=2, hours=hours)
    quote = quote_of(make_brief(on=date(2027, 5, 15)), book, TODAY)
    assert (quote.deposit_due, quote.balance_due) == (date(2027, 3, 10), date(2027, 5, 9))


def test_without_a_date_there_is_no_day_for_the_balance():
    quote = quote_of(make_brief(on=None), make_book(), TODAY)
    assert quote.balance_due is None
    assert quote.deposit_due == date(2027, 3, 10)


def test_an_empty_brief_costs_nothing():
    quote = quote_of(Brief(), make_book(), TODAY)
    assert quote.lines == ()
    assert quote.total == quote.deposit == quote.balance == usd("0")


def test_a_currency_without_cents_is_rounded_to_whole_units():
    book = make_book(**{**PLAIN, "currency": "JPY", "deposit_share": Decimal("0.3")})
    yen = replace(
        book,
        policies=replace(book.policies, price_per_serving=Money(755, "JPY"),
                         minimum_order=Money(0, "JPY")),
        flavours=(replace(book.flavours[0], price_per_serving=Money(0, "JPY")),),
        fillings=(replace(book.fillings[0], price_per_serving=Money(0, "JPY")),),
        finishes=(replace(book.finishes[0], rate=replace(
            book.finishes[0].rate, price_once=Money(0, "JPY"), price_each=Money(33, "JPY"))),),
    )  # fmt: skip
    quote = quote_of(make_brief(tiers=(8,)), yen, TODAY)
    assert quote.total.minor == 18441  # 24 x 755 + 33 x 9.7288 = 18441.05
    assert quote.deposit.minor == 5532  # 5532.3
    assert quote.lines[0].why.startswith("24 servings at ¥755.")


MONEY = some.integers(0, 50_000).map(lambda cents: Money(cents, "USD"))
SHARE = some.integers(0, 1000).map(lambda mille: Decimal(mille) / 1000)
CODES = ("sugar_rose", "pearl_border", "gold_leaf", "drip", "stencil", "berries", "lettering")


@some.composite
def books(draw):
    rushes = tuple(
        Rush(draw(some.integers(0, 90)), draw(SHARE), draw(MONEY))
        for _ in range(draw(some.integers(0, 2)))
    )
    return make_book(
        price_per_serving=draw(MONEY), minimum_order=draw(MONEY), rushes=rushes,
        tax=Tax("tax", draw(SHARE), draw(some.booleans())), deposit_share=draw(SHARE),
        units=draw(some.sampled_from(Units)),
    )  # fmt: skip


@some.composite
def briefs(draw):
    sizes = draw(some.lists(some.sampled_from((4, 6, 7, 8, 10, 12)), max_size=4))
    finishes = some.sampled_from(("", "smooth", "combed", "fondant", "naked"))
    tiers = [
        make_tier(size, height=draw(some.sampled_from((2, 4, 5))), finish=draw(finishes),
                  kind=draw(some.sampled_from(Kind)))
        for size in sizes
    ]  # fmt: skip
    decorations = [
        ChosenDecoration(code, draw(some.integers(0, 9)), draw(some.sampled_from((None, 0, 1, 5))))
        for code in draw(some.lists(some.sampled_from(CODES), max_size=4))
    ]
    cakes = [
        KitchenCake(Shape.RECTANGLE, 13 * INCH, 4 * INCH, 9 * INCH, draw(some.integers(1, 3)))
        for _ in range(draw(some.integers(0, 1)))
    ]
    return make_brief(
        tiers=(), on=TODAY + timedelta(days=draw(some.integers(-10, 200))),
        delivery_km=draw(some.sampled_from((None, "0", "12.5", "99.9"))),
        design=make_design(tiers, decorations=decorations, kitchen_cakes=tuple(cakes)),
    )  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(briefs(), books())
def test_lines_always_add_up_and_nothing_is_below_zero(brief, book):
    quote = quote_of(brief, book, TODAY)
    assert total((one.amount for one in quote.lines), "USD") == quote.total
    assert quote.deposit + quote.balance == quote.total
    assert min(one.minor for one in (quote.deposit, quote.balance, quote.total)) >= 0
    assert all(one.amount.minor >= 0 and one.what and one.why for one in quote.lines)
    assert TODAY <= quote.deposit_due <= max(quote.balance_due, TODAY)
    assert TODAY <= quote.holds_until <= max(brief.event.on, TODAY)


@settings(max_examples=60, deadline=None)
@given(briefs(), books(), some.integers(0, 100_000), some.integers(0, 5_000))
def test_a_dearer_cake_never_has_a_lower_total(brief, book, cents, more):
    notice = notice_days(brief, TODAY)
    lower = total_of(Money(cents, "USD"), brief, book, notice)
    assert lower <= total_of(Money(cents + more, "USD"), brief, book, notice)
    assert extras_of(Money(cents, "USD"), brief, book, notice).tax_within <= lower


def test_the_client_is_told_no_hours_and_no_cost():
    quote = quote_of(make_brief(delivery_km=20, on=WEDDING_DAY), make_book(), TODAY)
    words = " ".join(f"{one.what} {one.why}" for one in quote.lines).lower()
    for secret in (" min", "hour", "margin", "profit", "overhead", "22.00"):
        assert secret not in words
