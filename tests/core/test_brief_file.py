"""Is a brief in a file read as it was meant, and a wrong one refused with everything that is wrong?"""

from datetime import date, time
from decimal import Decimal

import pytest

from consult.core.brief_file import as_for_stacks, with_stack
from consult.core.design import How, Kind, KitchenCake, Problem, StackChoice, Tier
from shop.core.catalogue import Shape
from shop.core.measures import Units
from shop.core.money import Money
from tests.core.brief_makers import TIERS, WHOLE, changed, read, wrong
from tests.small_shop import a_book


def test_whole_brief_is_read_as_it_was_meant():
    found = read(WHOLE)
    brief = found.brief
    assert (brief.event.occasion, brief.event.on) == ("wedding", date(2027, 5, 15))
    assert brief.hand_over.how is How.DELIVERY
    assert (brief.hand_over.at, brief.hand_over.distance_km) == (time(11, 30), Decimal("12.5"))
    assert (brief.client.name, brief.client.email) == ("Ann Marlowe", "ann@example.org")
    assert (brief.need.guests, brief.need.slice, brief.need.spare) == (150, "dessert", 4)
    assert brief.need.eating_share == Decimal("0.9")
    assert brief.need.keep_top is True
    limits = brief.limits
    assert limits.shapes == (Shape.ROUND,)
    assert (limits.fewest_tiers, limits.most_tiers) == (2, 4)
    assert limits.heights_mm == (101.6,)
    assert limits.sizes_mm == (152.4, 203.2, 254.0, 304.8)
    assert (limits.kitchen_cake, limits.display_tiers) == (True, 1)
    assert limits.budget == Money.of("1200.00", "USD")
    assert brief.avoid == {"peanut", "tree nuts"}
    assert brief.notes == "Ground floor, no steps."
    assert found.units is Units.INCHES
    assert found.stack is StackChoice.LOWEST_PRICE
    assert found.photos == ("garden.jpg",)
    rose, leaf = brief.design.decorations
    assert (rose.what, rose.tier, rose.count) == ("rose", 0, 5)
    assert (leaf.what, leaf.tier, leaf.count) == ("leaf", None, 1)


def test_what_may_be_left_out_has_its_default():
    brief = {key: WHOLE[key] for key in ("units", "event", "hand_over", "client", "need")}
    brief["need"] = {"guests": 70, "slice": "Party slice"}
    brief["design"] = {"stack": "tallest"}
    found = read(brief)
    need, limits = found.brief.need, found.brief.limits
    assert (need.slice, need.eating_share, need.spare, need.keep_top) == (
        "party", Decimal(1), 0, False,
    )  # fmt: skip
    assert (limits.shapes, limits.fewest_tiers, limits.most_tiers) == ((), 1, None)
    assert limits.budget is None
    assert (found.for_all.flavour, found.for_all.filling, found.for_all.finish) == (
        "vanilla", "fig", "plain",
    )  # fmt: skip


def test_stack_that_was_chosen_is_dressed_as_the_brief_asks():
    found = read(WHOLE)
    stack = (Tier(Shape.ROUND, 254.0, 101.6), Tier(Shape.ROUND, 152.4, 101.6, kind=Kind.KEPT))
    cake = KitchenCake(Shape.ROUND, 304.8, 101.6)
    brief = with_stack(found, stack, (cake,), a_book())
    assert not isinstance(brief, tuple)
    assert [tier.flavour for tier in brief.design.tiers] == ["hazelnut", "hazelnut"]
    assert brief.design.tiers[0].colour == "#c9d2bd"
    assert brief.design.kitchen_cakes == (cake,)


def test_search_prices_every_level_as_the_brief_asks():
    tiers = as_for_stacks(read(WHOLE), a_book()).design.tiers
    assert len(tiers) == 5
    assert {(tier.flavour, tier.filling, tier.finish) for tier in tiers} == {
        ("hazelnut", "mousse", "silky")
    }


def test_delivery_says_that_the_address_is_still_open():
    assert read(WHOLE).brief.hand_over.place == "an address to be agreed"
    collected = changed("hand_over", {"how": "collection", "at": "11:30"})
    assert read(collected).brief.hand_over.place == ""


def test_decoration_on_a_tier_the_stack_does_not_have_is_refused():
    found = read(changed("design.decorations.0.tier", 4))
    stack = (Tier(Shape.ROUND, 254.0, 101.6), Tier(Shape.ROUND, 152.4, 101.6))
    assert with_stack(found, stack, (), a_book()) == (
        Problem("design.decorations[0].tier", "is 4, but the lowest price stack has 2"),
    )


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("units", "feet", 'units: must be one of "in", "cm"'),
        ("units", ..., "units: is missing"),
        ("event", ..., "event: is missing"),
        ("event.date", "2027-02-30", 'event.date: must be a day that exists, like "2027-05-15"'),
        ("event.date", 20270515, 'event.date: must be a day that exists, like "2027-05-15"'),
        ("event.date", "2027-02-28", "event.date: That day is past. Choose today or a later day."),
        ("event.occasion", "", "event.occasion: must not be empty"),
        ("hand_over.how", "post", 'hand_over.how: must be one of "collection", "delivery"'),
        ("hand_over.at", "25:00", 'hand_over.at: must be a time like "11:30"'),
        ("hand_over.at", "05:00", "hand_over.at: The shop hands cakes over from 09:00 to 18:00."),
        (
            "hand_over.at",
            "2027-05-14T11:30",
            "hand_over.at: must be on the day of the event, 2027-05-15",
        ),
        ("hand_over.distance_km", -1, "hand_over.distance_km: must be 0 or more kilometres"),
        ("hand_over.distance_km", ..., "hand_over.distance_km: is needed for a delivery"),
        ("client.name", ..., "client.name: is missing"),
        ("client.name", 7, "client.name: must be text"),
        ("client.name", "A\x00n", "client.name: must not hold control characters"),
        ("client.email", "ann", 'client.email: "ann" is not an e-mail address'),
        ("need", [], "need: must be an object"),
        ("need.guests", 0, "need.guests: must be 1 to 2000"),
        ("need.guests", 2001, "need.guests: must be 1 to 2000"),
        ("need.guests", 5000, "need.guests: must be 1 to 2000"),
        ("need.guests", "150", "need.guests: must be a whole number, 1 to 2000"),
        ("need.guests", 99.5, "need.guests: must be a whole number, 1 to 2000"),
        ("need.guests", True, "need.guests: must be a whole number, 1 to 2000"),
        ("need.guests", float("nan"), "need.guests: must be a whole number, 1 to 2000"),
        (
            "need.slice",
            "slab",
            ('need.slice: no slice size is called "slab"; there are: Dessert slice, Party slice'),
        ),
        ("need.eating_share", 0, "need.eating_share: must be above 0 and at most 1"),
        ("need.eating_share", 1.01, "need.eating_share: must be above 0 and at most 1"),
        ("need.spare", -1, "need.spare: must be 0 to 500"),
        ("need.keep_top", "yes", "need.keep_top: must be true or false"),
        (
            "limits.shapes",
            ["heart"],
            'limits.shapes[0]: no "heart" pan is owned; shapes owned: round, square',
        ),
        (
            "limits.tiers",
            [3, 2],
            "limits.tiers: must be two whole numbers, fewest and most, within 1 to 5",
        ),
        (
            "limits.tiers",
            [1, 6],
            "limits.tiers: must be two whole numbers, fewest and most, within 1 to 5",
        ),
        (
            "limits.tiers",
            3,
            "limits.tiers: must be two whole numbers, fewest and most, within 1 to 5",
        ),
        (
            "limits.heights",
            [7],
            "limits.heights[0]: the shop makes no tier 7 in tall; its heights: 4, 5 in",
        ),
        (
            "limits.sizes",
            [30],
            "limits.sizes[0]: no pan of 30 in is owned; sizes owned: 6, 8, 10, 12 in",
        ),
        ("limits.sizes", "8", "limits.sizes: must be a list"),
        ("limits.display_tiers", 5, "limits.display_tiers: must be 0 to 4"),
        (
            "limits.budget",
            1200,
            'limits.budget: must be an amount in USD above 0 as text, like "1200.00"',
        ),
        (
            "limits.budget",
            "12.345",
            'limits.budget: must be an amount in USD above 0 as text, like "1200.00"',
        ),
        (
            "limits.budget",
            "0",
            'limits.budget: must be an amount in USD above 0 as text, like "1200.00"',
        ),
        (
            "design.stack",
            "cheapest",
            (
                'design.stack: must be one of "closest fit", "lowest price", "least bench '
                'time", "tallest"'
            ),
        ),
        (
            "design.stack",
            ...,
            "design.stack: give either stack, a choice, or tiers, from base to top",
        ),
        (
            "design.tiers",
            TIERS,
            "design.stack: give either stack, a choice, or tiers, from base to top",
        ),
        (
            "design.flavour",
            "mint",
            (
                'design.flavour: no flavour is called "mint"; there are: Vanilla butter '
                "cake, Hazelnut cake, Coconut cake"
            ),
        ),
        (
            "design.filling",
            4,
            "design.filling: no filling is called 4; there are: Fig jam, Lemon mousse",
        ),
        (
            "design.finish",
            "tar",
            (
                'design.finish: no finish is called "tar"; there are: Plain buttercream, '
                "Silky buttercream, White fondant"
            ),
        ),
        ("design.finish", "white", "design.colour: White fondant takes no colour"),
        (
            "design.colour",
            "blurple",
            (
                'design.colour: "blurple" is no colour; write it like "#c9d2bd" or "ivory" '
                'or "charcoal"'
            ),
        ),
        (
            "design.decorations.0.what",
            "fog",
            (
                'design.decorations[0].what: no decoration is called "fog"; there are: Sugar '
                "rose, Pine nut praline, Gold leaf, Paper bunting"
            ),
        ),
        ("design.decorations.0.what", ..., "design.decorations[0].what: is missing"),
        ("design.decorations.0.count", 0, "design.decorations[0].count: must be 1 to 1000"),
        ("design.decorations.0.tier", 0, "design.decorations[0].tier: must be 1 to 5"),
        ("avoid", ["moonbeams"], None),
        ("photos", [3], "photos[0]: must be the path of a picture"),
        ("photos", ["p.jpg"] * 13, "photos: must have at most 12 entries"),
        ("notes", "n" * 4001, "notes: must be at most 4000 letters"),
        (
            "colours",
            [],
            (
                "colours: is not known here; known are: units, event, hand_over, client, "
                "need, design, limits, avoid, photos, notes"
            ),
        ),
        (
            "need.people",
            3,
            (
                "need.people: is not known here; known are: guests, slice, eating_share, "
                "spare, keep_top"
            ),
        ),
    ],
)
def test_one_wrong_value_is_one_refusal_by_its_path(path, value, says):
    found = wrong(changed(path, value))
    if says is None:
        (only,) = found
        assert only.startswith('avoid[0]: "moonbeams" is not known; there are: gluten, tree nuts')
    else:
        assert found == [says]


def test_every_error_is_said_at_once():
    brief = changed("need.guests", 0)
    brief["event"]["date"] = "yesterday"
    brief["design"]["finish"] = "tar"
    brief["extra"] = 1
    assert [says.split(":")[0] for says in wrong(brief)] == [
        "extra", "event.date", "need.guests", "design.finish",
    ]  # fmt: skip


@pytest.mark.parametrize("brief", [None, [], "brief", 3])
def test_what_is_no_object_is_refused(brief):
    assert wrong(brief) == ["brief: must be an object"]


def test_tier_question_alone_needs_no_client_and_no_date():
    brief = {"units": "in", "need": {"guests": 70, "slice": "dessert"}}
    assert read(brief, stacks_only=True).brief.need.guests == 70
    assert wrong(brief) == [
        f"{key}: is missing" for key in ("event", "hand_over", "client", "design")
    ]
    assert wrong(brief | {"event": {"occasion": "tea"}}, stacks_only=True) == [
        "event.date: is missing"
    ]
