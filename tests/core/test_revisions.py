"""Does a revision say all that it changes, in words and money, and nothing that it does not?"""

from dataclasses import fields, replace
from datetime import date

import pytest

from consult.core.revisions import changes_between
from consult.core.sheet import SheetLine, SheetPhoto
from tests.documents.contract_samples import AGREEMENT, agreed_sheet
from tests.documents.samples import decoration, dollars, three_tiers, tier

# What no change of is told: the number and day of the revision, the shop, how the paper is set, and what is
# told by something else (a need by its guests, the drawing by its tiers).
UNTOLD = {
    "number", "revision", "shop_name", "shop_address", "shop_contact", "client_contact", "quoted_on",
    "holds_until", "conditions", "need_why", "kept_words", "height_mm", "board_mm", "colour_note",
    "allergen_note", "take_out", "take_out_rows", "tax_words", "terms_version", "consent_version",
    "units", "paper", "locale", "changed_from", "changes",
}  # fmt: skip


def test_the_same_sheet_made_again_changes_nothing():
    again = replace(agreed_sheet(), revision=3, quoted_on=date(2027, 3, 1))
    assert changes_between(agreed_sheet(), again) == ()


def test_guests_and_money_are_said_with_what_they_were():
    before = agreed_sheet()
    lines = (replace(before.lines[0], amount=dollars("240.00")), *before.lines[1:])
    after = replace(
        before, guests=95, lines=lines, total=dollars("543.00"), deposit=dollars("271.50"),
        balance=dollars("271.50"),
    )  # fmt: skip
    assert changes_between(before, after) == (
        "Guests: 70, now 95.",
        "Price of Tier 1, 10 in round: $212.00, now $240.00, $28.00 more.",
        "Total: $515.00, now $543.00, $28.00 more.",
        "Deposit: $257.50, now $271.50, $14.00 more.",
        "Balance: $257.50, now $271.50, $14.00 more.",
    )
    assert "Total: $543.00, now $515.00, $28.00 less." in changes_between(after, before)


def test_a_tier_that_comes_or_goes_and_one_that_tastes_otherwise_are_told():
    before = three_tiers()
    carrot = replace(before.tiers[1], cake="carrot, honey")
    fourth = tier(4, "round", 4, 4, cake="lemon, curd")
    found = changes_between(
        before, replace(before, tiers=(before.tiers[0], carrot, before.tiers[2], fourth))
    )
    assert f"Tier 2, cake: {before.tiers[1].cake}, now carrot, honey." in found
    assert "Tier 4 is new: 4 in round, 4 in high; lemon, curd; Swiss buttercream, smooth." in found
    gone = changes_between(before, replace(before, tiers=before.tiers[:2]))
    assert any(one.startswith("Tier 3 is left out: ") for one in gone)


def test_decorations_are_known_by_name_and_place():
    before = replace(
        three_tiers(),
        decorations=(decoration("Sugar rose", "flower", 5, 0), decoration("Topper", "topper")),
    )
    roses = (decoration("Sugar rose", "flower", 7, 0), decoration("Sugar rose", "flower", 2, 1))
    after = replace(before, decorations=roses)
    assert changes_between(before, after) == (
        "Sugar rose, tier 1: 5, now 7.",
        "New: 2 × Sugar rose, tier 2.",
        "Left out: 1 × Topper, whole cake.",
    )


def test_another_day_is_said_with_its_weekday():
    before = three_tiers()
    found = changes_between(
        before, replace(before, event_on=date(2027, 5, 22), hand_over="Collected then.")
    )
    assert found == ("Date: Saturday, May 15, 2027, now Saturday, May 22, 2027.",)


def test_a_new_allergen_is_never_left_out():
    before = three_tiers()
    found = changes_between(before, replace(before, contains=(*before.contains, "walnut")))
    assert found == (
        f"Contains: {', '.join(before.contains)}, now {', '.join((*before.contains, 'walnut'))}.",
    )


def other(sheet, name):
    """The sheet with that one field otherwise."""
    value = getattr(sheet, name)
    if name == "agreed":
        return replace(
            sheet, agreed=agreed_sheet(replace(AGREEMENT, risk_words="Yours at once.")).agreed
        )
    if name == "lines":
        return replace(sheet, lines=(*value, SheetLine("Topper", dollars("9.00"))))
    if name == "photos":
        return replace(sheet, photos=(*value, SheetPhoto("f" * 64, "a picture")))
    if isinstance(value, str):
        return replace(sheet, **{name: f"{value} otherwise"})
    if isinstance(value, int):
        return replace(sheet, **{name: value + 1})
    if isinstance(value, date):
        return replace(sheet, **{name: value.replace(day=value.day % 28 + 1)})
    if isinstance(value, tuple):
        words = ("contains", "may_contain", "cautions", "kitchen_cakes")
        return replace(sheet, **{name: (*value, "another") if name in words else value[1:]})
    return replace(sheet, **{name: value + dollars("1.00")})


@pytest.mark.parametrize(
    "name", [field.name for field in fields(three_tiers()) if field.name not in UNTOLD]
)
def test_every_field_that_matters_to_a_client_is_told(name):
    before = agreed_sheet()
    after = other(before, name)
    assert after != before
    assert changes_between(before, after), name
