"""Does the sheet say in a client's words exactly what is agreed, and nothing of the shop's own business?"""

import json
from dataclasses import fields, replace
from datetime import date, time
from decimal import Decimal

import pytest
from stdnum import iso11649

from consult.core.design import (
    Brief,
    ChosenDecoration,
    Client,
    HandOver,
    Kind,
    KitchenCake,
    PhotoRef,
    Swatch,
)
from consult.core.open_answers import still_missing
from consult.core.reckoning import reckon
from consult.core.sheet import DesignSheet
from consult.core.sheet_making import (
    avoid_words,
    colour_of,
    deposit_request_of,
    hand_over_words,
    sheet_of,
)
from consult.core.signing import fingerprint
from consult.flow import NAMES
from shop.core.book import book_from_plain, built, canonical_json, plain
from shop.core.catalogue import Shape
from shop.core.measures import Units
from shop.core.money import Money, total
from tests.makers import INCH, TODAY, make_book, make_brief, make_design, make_tier, usd


def made(brief=None, book=None, **said):
    brief, book = brief or make_brief(**said), book or make_book()
    return sheet_of(brief, book, reckon(brief, book, TODAY), "2027-0142", 2, TODAY)


def test_an_empty_brief_lists_every_open_step():
    missing = still_missing(Brief(), make_book())
    steps = list(dict.fromkeys(problem.where for problem in missing))
    assert steps == ["event", "servings", "tiers", "flavours", "finishes"]
    assert set(steps) < set(NAMES)
    assert all(problem.says.endswith((".", "?")) for problem in missing)


def test_a_whole_brief_has_nothing_open():
    assert still_missing(make_brief(), make_book()) == ()


@pytest.mark.parametrize(
    ("change", "step"),
    [
        ({"client": Client("  ")}, "event"),
        ({"on": None}, "event"),
        ({"hand_over": HandOver(at=None)}, "event"),
        ({"guests": 0}, "servings"),
        ({"slice_size": ""}, "servings"),
        ({"design": make_design(flavour="")}, "flavours"),
        ({"design": make_design(filling="")}, "flavours"),
        ({"design": make_design(finish="")}, "finishes"),
    ],
)
def test_one_open_answer_keeps_the_sheet_from_being_made(change, step):
    brief = make_brief(**change)
    assert {problem.where for problem in still_missing(brief, make_book())} == {step}
    with pytest.raises(ValueError, match="Not a sheet yet"):
        made(brief)


def test_what_several_tiers_lack_is_said_once():
    """Tiers 9 and 6 in of three lack a filling, and none has a finish."""
    full = make_tier(12, flavour="vanilla", filling="jam")
    tiers = (full, make_tier(9, flavour="vanilla"), make_tier(6))
    missing = still_missing(make_brief(design=make_design(tiers)), make_book())
    assert [(one.where, one.says) for one in missing] == [
        ("flavours", "Tier 2 and the top tier have no flavour or filling yet."),
        ("finishes", "The base tier, tier 2 and the top tier have no finish yet."),
    ]
    assert still_missing(make_brief(design=make_design(tiers[1:2])), make_book())[0].says == (
        "The cake has no flavour or filling yet."
    )


def test_a_display_tier_needs_a_finish_and_no_flavour():
    shown = make_tier(8, kind=Kind.DISPLAY)
    for finish, steps in (("", ["finishes"]), ("smooth", [])):
        design = make_design((12, replace(shown, finish=finish)))
        missing = still_missing(make_brief(design=design), make_book())
        assert [problem.where for problem in missing] == steps


def test_tiers_are_said_base_first_in_the_shops_units():
    sheet = made(keep_top=True)
    assert [(t.number, t.size, t.height, t.kind, t.servings) for t in sheet.tiers] == [
        (1, "12 in round", "4 in", "", 55),
        (2, "9 in round", "4 in", "", 30),
        (3, "6 in round", "4 in", "kept for the couple", 0),
    ]
    assert sheet.servings == sum(tier.servings for tier in sheet.tiers) == 85
    assert sheet.kept_words == "The top tier (6 in round) is kept for the couple and not counted."
    assert (sheet.need, sheet.need_why) == (80, "80 guests: 80 servings.")


def test_a_shop_on_centimetres_reads_centimetres():
    sheet = made(book=make_book(units=Units.CENTIMETRES))
    assert (sheet.tiers[0].size, sheet.tiers[0].height) == ("30.5 cm round", "10.2 cm")
    assert sheet.slice_words == "dessert slices, 2.5 x 5.1 cm"


def test_slices_are_said_by_their_measures():
    assert made().slice_words == "dessert slices, 1 x 2 in"
    assert made(slice_size="party").slice_words == "party slices, 1½ x 2 in"


def test_cake_finish_and_colour_are_said_together():
    tier = make_tier(8, flavour="hazelnut", filling="jam", finish="fondant", colour="#A9B79A",
                     colour_name="pale sage")  # fmt: skip
    said = made(make_brief(20, tiers=(tier,))).tiers[0]
    assert (said.cake, said.finish) == ("hazelnut, raspberry jam", "rolled fondant, pale sage")
    assert (said.texture, said.colour) == (
        "soft",
        "#A9B79A",
    )  # rolled fondant falls softly over the edge


def test_a_tier_without_a_colour_is_drawn_as_its_coat():
    book = make_book()
    seen = {colour_of(make_tier(8, finish=finish.code), book) for finish in book.finishes}
    assert len(seen) == 3  # buttercream, fondant and the naked cake's crumb


def test_decorations_say_where_they_go_and_how_they_come_off():
    sheet = made(
        decorations=[
            ChosenDecoration("sugar_rose", 5, 9, "#B5838D", "dusty rose", "a cluster to the left"),
            ChosenDecoration("pearl_border"),
            ChosenDecoration("drip", 1, 0),
            ChosenDecoration("topper"),
            ChosenDecoration("berries", 0),
        ]
    )
    assert [(d.name, d.count, d.where, d.tier, d.comes_off) for d in sheet.decorations] == [
        ("Sugar rose, wired, dusty rose", 5, "top tier", 2, "lift out with its wire"),
        ("Pearl border", 1, "every tier", None, ""),
        ("Chocolate drip", 1, "base tier", 0, ""),
        ("Wooden topper", 1, "whole cake", None, "pull straight up"),
    ]
    assert sheet.decorations[0].note == "a cluster to the left"
    listed = " ".join(sheet.take_out)
    assert "sugar rose" in listed
    assert "wooden topper" in listed


@pytest.mark.parametrize(
    ("tiers", "where"),
    [((8,), None), ((10, 6), "under the top tier"), ((12, 9, 6), "under tiers 2 to 3")],
)
def test_dowels_come_out_wherever_a_tier_is_carried(tiers, where):
    lines = [line for line in made(make_brief(20, tiers=tiers)).take_out if "dowel" in line]
    assert len(lines) == (where is not None)
    assert all(where in line and "board" in line for line in lines)


def test_kitchen_cakes_are_said_with_what_they_give():
    cake = KitchenCake(Shape.RECTANGLE, 13 * INCH, 4 * INCH, 9 * INCH, 2)
    brief = make_brief(design=make_design((12, 9), kitchen_cakes=(cake,)))
    [words] = made(brief).kitchen_cakes
    reckoned = reckon(brief, make_book(), TODAY)
    assert words == (
        "2 kitchen cakes, 13 x 9 in rectangle, vanilla, vanilla buttercream, Swiss buttercream,"
        f" smooth: {reckoned.servings - 85} servings, cut out of sight"
    )


def test_hand_over_is_a_sentence_with_day_and_hour():
    book = make_book()
    assert hand_over_words(make_brief(delivery_km=12), book) == (
        "Delivered and set up at The Old Boathouse, Saturday, May 15, 2027, 2:00 PM."
    )
    assert hand_over_words(make_brief(), make_book(locale="en_GB")) == (
        "Collected from Quince and Crumb, Saturday, 15 May 2027, 12:00."
    )
    german = hand_over_words(make_brief(hand_over=HandOver(at=time(9, 30))), make_book(locale="de"))
    assert "Samstag, 15. Mai 2027, 09:30" in german


def test_a_delivered_cake_needs_a_level_table_shade_and_a_cool_room():
    said = " ".join(made(delivery_km=12).conditions)
    for word in ("level table", "shade", "21 to 24 °C (70 to 75 °F) or cooler"):
        assert word in said.replace("70 to 75 °F (21 to 24 °C)", "21 to 24 °C (70 to 75 °F)")
    assert "70 to 75 °F (21 to 24 °C)" in said  # a shop on inches reads its own unit first
    metric = made(book=make_book(units=Units.CENTIMETRES))
    assert "A room of 21 to 24 °C (70 to 75 °F) or cooler." in metric.conditions


def test_a_collected_cake_says_who_may_carry_it():
    heavy = make_book(one_person_lifts_grams=1000.0)
    assert any("One person may lift it" in line for line in made().conditions)
    assert any("Two people lift it" in line for line in made(book=heavy).conditions)


def test_what_is_avoided_is_answered():
    book, kitchen = make_book(), make_book(may_contain=frozenset())
    avoiding = make_brief(avoid=frozenset({"hazelnut"}))
    assert avoid_words(make_brief(), book) == "Asked about allergies: nothing to avoid was named."
    assert avoid_words(avoiding, book) == (
        "You asked us to avoid hazelnut: no part of this cake contains it; our kitchen handles"
        " hazelnut, so traces cannot be ruled out."
    )
    assert avoid_words(avoiding, kitchen) == (
        "You asked us to avoid hazelnut: no part of this cake contains it by its recipe; traces can"
        " never be ruled out in a kitchen."
    )
    with_nuts = make_brief(design=make_design(flavour="hazelnut"), avoid=frozenset({"hazelnut"}))
    assert "this cake CONTAINS it (base tier" in avoid_words(with_nuts, book)


def test_traces_on_a_label_are_said():
    book = make_book(may_contain=frozenset())
    traced = tuple(
        replace(one, may_contain=frozenset({"almond"})) if one.code == "flour" else one
        for one in book.ingredients
    )
    brief = make_brief(avoid=frozenset({"almond"}))
    assert "the labels of what we use warn of traces" in avoid_words(
        brief, replace(book, ingredients=traced)
    )


def test_cautious_words_defer_to_a_doctor_local_rules_and_the_real_icing():
    sheet = made()
    assert "doctor" in sheet.allergen_note
    assert "local rules" in sheet.allergen_note
    assert "never promises its exact colour" in sheet.colour_note
    assert sheet.contains == ("wheat", "egg", "milk")


def test_lines_deposit_and_dates_are_those_of_the_quote():
    brief, book = make_brief(delivery_km=20), make_book()
    quote, sheet = reckon(brief, book, TODAY).quote, made(brief, book)
    assert [(one.what, one.amount) for one in sheet.lines] == [
        (one.what, one.amount) for one in quote.lines
    ]
    assert total((one.amount for one in sheet.lines), "USD") == sheet.total
    assert sheet.deposit + sheet.balance == sheet.total
    assert (sheet.deposit_due, sheet.balance_due, sheet.holds_until) == (
        date(2027, 3, 10), date(2027, 5, 1), date(2027, 3, 17))  # fmt: skip


def test_photos_colours_notes_and_terms_are_carried_over():
    design = make_design(
        swatches=(Swatch("sage", "#A9B79A"),), photos=(PhotoRef("ab" * 32, "the bouquet"),),
        notes="Flat ribbon at the back.",
    )  # fmt: skip
    sheet = made(make_brief(design=design, notes=" Ring the bell. "))
    assert sheet.swatches == design.swatches
    assert [(one.sha256, one.caption) for one in sheet.photos] == [("ab" * 32, "the bouquet")]
    assert sheet.notes == "Ring the bell.\nFlat ribbon at the back."
    assert (sheet.terms_version, sheet.consent_version) == ("3", "2")


def test_every_colour_used_has_its_swatch_once():
    """The design's own first, then each tier's, then each decoration's; no colour twice."""
    tiers = (make_tier(10, flavour="vanilla", filling="jam", finish="smooth", colour="#a9b79a", colour_name="sage"),
             make_tier(6, flavour="vanilla", filling="jam", finish="smooth", colour="#F4ECDF"))  # fmt: skip
    put_on = (
        ChosenDecoration("sugar_rose", 5, 1, "#B5838D", "dusty rose"),
        ChosenDecoration("sugar_rose", 2, 0, "#F4ECDF", "cream"),
        ChosenDecoration("sugar_rose", 0, 0, "#112233", "midnight"),
    )
    own = (Swatch("wall", "#6B3A55", 0.4), Swatch("sage", "#A9B79A"))
    sheet = made(make_brief(design=make_design(tiers, decorations=put_on, swatches=own)))
    assert [one.hex for one in sheet.swatches] == ["#6B3A55", "#A9B79A", "#F4ECDF", "#B5838D"]
    assert sheet.swatches[:2] == own
    assert sheet.swatches[2].name  # the nearest plain word, where nobody named it
    assert sheet.swatches[3].name == "dusty rose"


def test_no_figure_of_the_shops_own_business_is_on_the_sheet():
    """Changing what the shop pays for hours, ingredients and overhead changes no word of it."""
    book = make_book()
    dearer = tuple(replace(one, cost_per_kg=usd("99")) for one in book.ingredients)
    tasks = tuple(replace(one, minutes_each=one.minutes_each + 7) for one in book.tasks)
    other = make_book(hour_costs=usd("99"), overhead_share=Decimal("0.9"), ingredients=dearer,
                      tasks=tasks)  # fmt: skip
    assert made(book=other) == made(book=book)
    names = {field.name for field in fields(DesignSheet)}
    assert not {name for name in names for word in ("cost", "margin", "hour", "minute")
                if word in name}  # fmt: skip


def test_a_sheet_comes_back_from_its_json_the_same():
    sheet = made(decorations=[ChosenDecoration("sugar_rose", 5, 2)])
    again = built(DesignSheet, plain(sheet), "sheet")
    assert canonical_json(again) == canonical_json(sheet)
    assert fingerprint(again) == fingerprint(sheet)


def test_deposit_request_asks_for_the_sheets_deposit_by_its_own_reference():
    sheet = made()
    request = deposit_request_of(sheet, make_book(), fingerprint(sheet), TODAY)
    assert iso11649.is_valid(request.reference)  # ISO 11649:2009
    assert request.reference.endswith("20270142")
    assert (request.deposit, request.due) == (sheet.deposit, sheet.deposit_due)
    assert (request.epc_payload, request.iban) == ("", "")
    assert request.how_to_pay == "By bank transfer or by card at the counter."
    assert "Saturday, May 15, 2027 is held" in request.after_words


def in_euros(**changes):
    """The same shop with its prices taken as euros."""
    book = book_from_plain(json.loads(canonical_json(make_book()).replace('"USD"', '"EUR"')))
    return replace(book, identity=replace(book.identity, **changes))


# The IBAN of a published example of segno's documentation; it passes modulo 97.
IBAN = "DE33100205000001194700"


@pytest.mark.parametrize(
    ("account", "has_code"),
    [({"iban": IBAN}, True), ({}, False), ({"iban": "DE33100205000001194701"}, False)],
)
def test_payment_code_only_in_euros_with_a_good_account(account, has_code):
    book = in_euros(**account)
    sheet = made(book=book)
    request = deposit_request_of(sheet, book, fingerprint(sheet), TODAY)
    assert bool(request.epc_payload) == has_code
    if has_code:
        lines = request.epc_payload.split("\n")
        assert lines[6:8] == [IBAN, f"EUR{sheet.deposit}"]
        assert request.reference in lines


def test_no_payment_code_in_dollars_even_with_an_account():
    book = make_book(iban=IBAN)
    sheet = made(book=book)
    request = deposit_request_of(sheet, book, fingerprint(sheet), TODAY)
    assert (request.epc_payload, request.account_name) == ("", "Quince and Crumb")


@pytest.mark.parametrize(
    ("asked_on", "due", "balance_due"),
    [
        (date(2027, 3, 9), date(2027, 3, 10), date(2027, 5, 1)),
        (date(2027, 3, 10), date(2027, 3, 10), date(2027, 5, 1)),
        (date(2027, 3, 11), date(2027, 3, 11), date(2027, 5, 1)),
        (date(2027, 5, 2), date(2027, 5, 2), date(2027, 5, 2)),
    ],
)
def test_nothing_is_due_before_it_is_asked_for(asked_on, due, balance_due):
    sheet = made()
    request = deposit_request_of(sheet, make_book(), fingerprint(sheet), asked_on)
    assert (request.due, request.balance_due) == (due, balance_due)
    assert request.deposit == Money(request.total.minor - request.balance.minor, "USD")


@pytest.mark.parametrize("paid", ["0", "120.40", "deposit", "more"])
def test_only_what_is_not_paid_yet_is_asked_for(paid):
    book = in_euros(iban=IBAN)
    sheet = made(book=book)
    extra = {"deposit": Money(0, "EUR"), "more": Money(1, "EUR")}
    received = sheet.deposit + extra[paid] if paid in extra else Money.of(paid, "EUR")
    request = deposit_request_of(sheet, book, fingerprint(sheet), TODAY, received)
    rest = max(sheet.deposit.minor - received.minor, 0)
    assert (request.deposit, request.received) == (sheet.deposit, received)
    assert request.to_pay == Money(rest, "EUR")
    # EPC069-12: the amount of the transfer stands in the eighth line.
    amounts = request.epc_payload.split("\n")[7:8]
    assert amounts == ([f"EUR{request.to_pay}"] if rest else [])
