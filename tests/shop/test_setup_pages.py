"""Can the owner set prices, stacks, hours, terms and who the shop is, and is what is wrong said in words?"""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from shop.actions import change_shop
from shop.core.policies import Rod, Rounds
from shop.models import ClosedDay, RushFee, Shop, TermsVersion, TierHeight, current_book
from shop.sample_setup import sample_book


def typed_as_shown(form):
    """What a browser sends back of a form that was only looked at."""
    typed = {}
    for field in form:
        value = field.value()
        if hasattr(value, "strftime"):
            value = value.strftime("%H:%M")
        if value is True:
            typed[field.html_name] = "on"
        elif value is not None and value is not False:
            typed[field.html_name] = value
    return typed


def shown(browser, name):
    context = browser.get(reverse(name)).context
    return typed_as_shown(context.get("hours_form") or context["form"])


PAGES = ("shop_prices", "shop_stacks", "shop_kitchen", "shop_hours", "shop_identity")


@pytest.mark.parametrize("name", PAGES)
def test_a_page_saved_as_it_is_shown_leaves_the_book_as_it_was(as_rosa, shop, name):
    before = current_book()
    answer = as_rosa.post(reverse(name), shown(as_rosa, name))
    assert answer.status_code == 302
    assert current_book() == before


@pytest.mark.parametrize("name", PAGES)
def test_a_page_in_euros_and_centimetres_likewise(as_rosa, euro_shop, name):
    before = current_book()
    assert as_rosa.post(reverse(name), shown(as_rosa, name)).status_code == 302
    assert current_book() == before


def test_prices_are_kept_as_the_trade_means_them(as_rosa, shop):
    typed = shown(as_rosa, "shop_prices") | {
        "price_per_serving": "6,20",
        "deposit_share": "33.5 %",
        "kitchen_cake_share": "75",
        "rush_days_1": "",
        "rush_share_1": "",
        "rush_least_1": "",
        "rush_days_2": "10",
        "rush_share_2": "",
        "rush_least_2": "45",
        "delivery_per_km": "1.5",
        "tax_share": "7.25",
        "tax_included": "on",
    }
    assert as_rosa.post(reverse("shop_prices"), typed).status_code == 302
    policies = current_book().policies
    assert str(policies.price_per_serving) == "6.20"
    assert policies.deposit_share == Decimal("0.335")
    assert policies.kitchen_cake_share == Decimal("0.75")
    assert [(rush.under_days, rush.share, str(rush.least)) for rush in policies.rushes] == [
        (10, 0, "45.00")
    ]
    assert str(policies.delivery.per_km) == "1.50"
    assert (policies.tax.share, policies.tax.included) == (Decimal("0.0725"), True)


def test_stacks_are_kept_in_millimetres(as_rosa, shop):
    typed = shown(as_rosa, "shop_stacks") | {
        "heights": "4 in, 5½ in, 12 cm",
        "ledge_mm": "3/4",
        "tallest_mm": "60 cm",
        "one_person_lifts_grams": "9,5",
        "most_tiers": "4",
    }
    assert as_rosa.post(reverse("shop_stacks"), typed).status_code == 302
    stacks = current_book().policies.stacks
    assert stacks.heights_mm == (101.6, 120.0, 139.7)
    assert (stacks.ledge_mm, stacks.tallest_mm, stacks.most_tiers) == (19.05, 600.0, 4)
    assert stacks.one_person_lifts_grams == 9500.0


@pytest.mark.parametrize(
    ("typed", "heights"),
    [
        ("4 3 4", (76.2, 101.6)),
        ("3, 4½ in", (76.2, 114.3)),
        ("8, 10, 12,5 cm", (80.0, 100.0, 125.0)),
        ("8; 10; 12,5 cm", (80.0, 100.0, 125.0)),
    ],
)
def test_heights_are_read_as_people_write_lists(as_rosa, shop, typed, heights):
    as_rosa.post(reverse("shop_stacks"), shown(as_rosa, "shop_stacks") | {"heights": typed})
    assert current_book().policies.stacks.heights_mm == heights


def test_hours_are_kept_in_minutes(as_rosa, shop):
    typed = shown(as_rosa, "shop_hours") | {
        "monday_minutes": "7:30",
        "tuesday_minutes": "6,25",
        "hand_over_until": "18:30",
        "bake_days_before": "2",
    }
    assert as_rosa.post(reverse("shop_hours"), typed).status_code == 302
    hours = current_book().policies.hours
    assert hours.bench_minutes == (450, 375, 480, 480, 480, 360, 0)
    assert (hours.hand_over_from, hours.hand_over_until) == ("09:00", "18:30")
    assert hours.bake_days_before == 2


def test_who_the_shop_is_can_change(as_rosa, shop):
    typed = shown(as_rosa, "shop_identity") | {
        "name": "Ferry Road Cakes",
        "iban": "ie12 tier 9900 0012 3456 78",
        "payment_link": "https://pay.example/?sum={amount}&for={reference}",
        "locale": "en-GB",
        "regime": "uk",
        "may_contain": ["milk", "egg"],
    }
    assert as_rosa.post(reverse("shop_identity"), typed).status_code == 302
    book = current_book()
    assert (book.identity.name, book.identity.locale) == ("Ferry Road Cakes", "en_GB")
    assert book.identity.iban == "IE12TIER99000012345678"
    assert book.identity.payment_link == "https://pay.example/?sum={amount}&for={reference}"
    assert book.policies.may_contain == {"milk", "egg"}
    assert not Shop.objects.get().is_sample


REFUSED = [
    ("shop_prices", {"price_per_serving": "cheap"}, "Type an amount like 12.00"),
    ("shop_prices", {"deposit_share": "120"}, "Type a percentage from 0 to 100."),
    ("shop_prices", {"rush_days_3": "3"}, "Say what it costs: a percentage, an amount or both."),
    (
        "shop_prices",
        {"rush_share_3": "20"},
        "Say from how many days' notice this is charged.",
    ),
    (
        "shop_prices",
        {"rush_days_3": "7", "rush_share_3": "20"},
        "There is a fee for this notice already.",
    ),
    ("shop_prices", {"tax_name": ""}, "Name the tax, as it is printed on the quote."),
    ("shop_stacks", {"heights": "4, tall"}, "tall is no height. Type them as 3, 4, 5."),
    ("shop_stacks", {"heights": "40"}, "A tier can be 0.8 to 15.7 in tall; 40 is not."),
    (
        "shop_stacks",
        {"widest_step_mm": "0.5"},
        "The widest ledge cannot be less than the smallest.",
    ),
    ("shop_stacks", {"one_person_lifts_grams": "60"}, "Type a number from 1 to 25."),
    ("shop_hours", {"monday_minutes": "25"}, "from 0 to 24"),
    ("shop_hours", {"hand_over_until": "08:00"}, "Hand-over must end after it begins."),
    ("shop_hours", {"hand_over_from": "early"}, "Type a time, like 09:00."),
    ("shop_identity", {"name": ""}, "This field is required."),
    ("shop_identity", {"currency": "DOL"}, "DOL is no currency code of ISO 4217."),
    ("shop_identity", {"iban": "IE13TIER99000012345678"}, "This IBAN does not add up."),
    (
        "shop_identity",
        {"payment_link": "http://pay.example"},
        "A payment link starts with https://.",
    ),
    ("shop_identity", {"bic": "TIER"}, "A BIC has 8 or 11 letters and figures."),
    ("shop_identity", {"locale": "klingon"}, "Type a language and country, like en_US."),
    ("shop_identity", {"time_zone": "Alder/Ferry"}, "Type a place, like America/New_York"),
]


@pytest.mark.parametrize(("name", "wrong", "says"), REFUSED)
def test_what_is_wrong_is_said_beside_its_field_and_nothing_is_kept(
    as_rosa, shop, name, wrong, says
):
    before = current_book()
    answer = as_rosa.post(reverse(name), shown(as_rosa, name) | wrong)
    assert answer.status_code == 422
    page = answer.content.decode().replace("&#x27;", "'")
    assert says in page
    field = next(iter(wrong)) if "rush_share_3" not in wrong else "rush_days_3"
    assert f'id="div_id_{field}"' in page
    assert current_book() == before


def test_a_currency_without_cents_keeps_every_figure(shop):
    """ISO 4217: the yen has no minor unit. 5.50 becomes 6, half up; 150.00 stays 150."""
    change_shop(shop, currency="JPY")
    book = current_book()
    assert str(book.policies.price_per_serving) == "6"
    assert str(book.policies.minimum_order) == "150"
    assert str(book.ingredient("vanilla-extract").cost_per_kg) == "95"
    assert str(book.decoration("sugar-rose").rate.price_each) == "32"
    assert str(book.policies.rushes[0].least) == "60"


def test_days_are_closed_and_opened_again(as_rosa, shop):
    first = timezone.localdate() + timedelta(days=10)
    typed = {"first": first, "last": first + timedelta(days=2), "why": "Holiday"}
    assert as_rosa.post(reverse("shop_close"), typed).status_code == 302
    ahead = [first + timedelta(days=after) for after in range(3)]
    assert list(ClosedDay.objects.values_list("on", flat=True)) == ahead
    assert current_book().policies.hours.closed_days == {day.isoformat() for day in ahead}
    assert "Holiday" in as_rosa.get(reverse("shop_hours")).content.decode()
    as_rosa.post(reverse("shop_open_again", args=[ClosedDay.objects.get(on=first).pk]))
    assert list(ClosedDay.objects.values_list("on", flat=True)) == ahead[1:]


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"first": ""}, "This field is required."),
        ({"first": "soon"}, "Type a date."),
        ({"first": "2027-05-02", "last": "2027-05-01"}, "The last day cannot be before the first."),
        ({"first": "2027-01-01", "last": "2027-12-31"}, "Close at most 120 days at once."),
    ],
)
def test_days_that_cannot_be_closed_are_refused(as_rosa, shop, typed, says):
    answer = as_rosa.post(reverse("shop_close"), typed)
    assert answer.status_code == 422
    assert says in answer.content.decode()
    assert not ClosedDay.objects.exists()


def test_closing_a_day_twice_only_changes_why(as_rosa, shop):
    for why in ("Market", "Market day"):
        as_rosa.post(reverse("shop_close"), {"first": "2099-05-02", "why": why})
    assert [(day.on, day.why) for day in ClosedDay.objects.all()] == [
        (date(2099, 5, 2), "Market day")
    ]


def test_the_starting_text_of_the_terms_says_that_it_is_one(as_rosa, shop):
    page = as_rosa.get(reverse("shop_terms")).content.decode()
    assert "Starting text. Not legal advice; have it checked for where you trade." in page


def test_changed_terms_are_a_new_version_and_the_old_stays_to_be_read(as_rosa, rosa, shop):
    old = TermsVersion.objects.get()
    typed = {"text": "Be on time.\r\n\r\nBe kind.", "consent": old.consent}
    assert as_rosa.post(reverse("shop_terms"), typed).status_code == 302
    new = TermsVersion.objects.first()
    assert (new.version, new.text, new.made_by) == ("2", "Be on time.\n\nBe kind.", rosa)
    assert new.consent_version == old.consent_version
    assert current_book().terms.text == "Be on time.\n\nBe kind."
    page = as_rosa.get(reverse("shop_terms")).content.decode()
    assert "Starting text." not in page
    assert "Version 1" in page.split("Earlier versions")[1]


def test_a_changed_consent_sentence_has_a_version_of_its_own(as_rosa, shop):
    old = TermsVersion.objects.get()
    as_rosa.post(reverse("shop_terms"), {"text": old.text, "consent": "I agree to all of it."})
    new = TermsVersion.objects.first()
    assert (new.version, new.consent_version) == ("2", "2")


def test_the_same_words_are_no_new_version(as_rosa, shop):
    old = TermsVersion.objects.get()
    answer = as_rosa.post(
        reverse("shop_terms"), {"text": old.text, "consent": old.consent}, follow=True
    )
    assert "These are the words in force already" in answer.content.decode()
    assert TermsVersion.objects.count() == 1


def test_empty_terms_are_refused(as_rosa, shop):
    answer = as_rosa.post(reverse("shop_terms"), {"text": " ", "consent": "I agree."})
    assert answer.status_code == 422
    assert TermsVersion.objects.count() == 1


def test_the_shop_at_a_glance_counts_what_is_offered(as_rosa, shop):
    page = as_rosa.get(reverse("shop")).content.decode()
    assert "Hollin Lane Cakes" in page
    for things in (sample_book().pans, sample_book().ingredients, sample_book().decorations):
        assert f"{len(things)} on the list" in page
    assert "This is a sample shop to play with" in page
    assert (RushFee.objects.count(), TierHeight.objects.count()) == (2, 4)


def test_the_kitchen_and_its_supports_are_kept_in_the_book(as_rosa, shop):
    typed = shown(as_rosa, "shop_kitchen") | {
        "hands": "2",
        "opens": "06:30",
        "oven_wide_mm": "24",
        "rod": "straw",
        "least_margin": "20",
    }
    assert as_rosa.post(reverse("shop_kitchen"), typed).status_code == 302
    policies = current_book().policies
    assert (policies.kitchen.hands, policies.kitchen.opens) == (2, "06:30")
    assert policies.kitchen.oven_wide_mm == pytest.approx(24 * 25.4)
    assert policies.supports.rod is Rod.STRAW
    assert policies.least_margin == Decimal("0.2")


@pytest.mark.parametrize(
    ("field", "typed"), [("hands", "0"), ("safety", "0.5"), ("rod_mm", "thick")]
)
def test_a_kitchen_nobody_has_is_refused_beside_its_field(as_rosa, shop, field, typed):
    answer = as_rosa.post(reverse("shop_kitchen"), shown(as_rosa, "shop_kitchen") | {field: typed})
    assert answer.status_code == 422
    assert f'id="id_{field}_error"' in answer.content.decode()


def test_a_shop_whose_name_no_font_can_print_is_told_so(shop, as_rosa):
    change_shop(shop, name="Bakery 𒀀")
    html = as_rosa.get(reverse("shop_identity")).content.decode()
    assert "No font here can print 𒀀: a paper shows ? in its place." in html
    change_shop(shop, name="Bäckerei مريم")
    assert "No font here" not in as_rosa.get(reverse("shop_identity")).content.decode()


def test_the_owner_says_how_round_tiers_are_cut(shop, as_rosa):
    before = shown(as_rosa, "shop_stacks")
    assert before["rounds"] == "whichever"
    typed = before | {"rounds": "rows"}
    assert as_rosa.post(reverse("shop_stacks"), typed).status_code == 302
    assert current_book().policies.rounds is Rounds.ROWS
