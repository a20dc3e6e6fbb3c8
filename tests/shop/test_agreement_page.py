"""Can the owner set what is agreed beside the cake, and is she told what may be unfair?"""

from decimal import Decimal
from html import unescape

import pytest
from django.urls import reverse

from shop.actions import set_cancelling, take_in_book
from shop.core.fairness import fairness_cautions, schedule_problems
from shop.core.policies import Agreement, CancelStep
from shop.models import CancellationStep, current_book
from shop.sample_setup import sample_book
from shop.starting_texts import NOTE, STARTING_TEXTS, starting_texts
from tests.shop.test_setup_pages import shown

PAGE = "shop_agreement"


@pytest.fixture
def kept(as_rosa, shop):
    return as_rosa


def page_of(browser, query=""):
    return unescape(browser.get(reverse(PAGE) + query).content.decode())


@pytest.mark.django_db
def test_the_schedule_is_kept_and_goes_into_the_next_book(kept):
    typed = shown(kept, PAGE) | {
        "cancel_days_1": "45", "cancel_share_1": "15", "cancel_days_2": "10", "cancel_share_2": "62,5 %",
        "cancel_days_3": "", "cancel_share_3": "", "cancel_days_4": "", "cancel_share_4": "",
        "changes_until_days": "12", "count_until_days": "18", "risk_words": "Yours from then on.",
        "place_of_law": "uk",
    }  # fmt: skip
    assert kept.post(reverse(PAGE), typed).status_code == 302
    agreement = current_book().policies.agreement
    assert agreement.cancelling == (
        CancelStep(45, Decimal("0.15")),
        CancelStep(10, Decimal("0.625")),
    )
    assert (agreement.changes_until_days, agreement.count_until_days) == (12, 18)
    assert (agreement.risk_words, agreement.place) == ("Yours from then on.", "uk")


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"cancel_days_1": "30", "cancel_days_2": "30"}, "Two steps have the same number of days"),
        ({"cancel_share_2": "5"}, "At 30 days less is kept than at 60 days"),
        ({"cancel_share_1": ""}, "Say what share is kept"),
        ({"cancel_days_1": ""}, "Say from how many days before"),
        ({"cancel_share_1": "120"}, "100"),
    ],
)
def test_a_senseless_schedule_is_refused_in_words(kept, changes, says):
    answer = kept.post(reverse(PAGE), shown(kept, PAGE) | changes)
    assert answer.status_code == 422
    assert says in unescape(answer.content.decode())
    assert CancellationStep.objects.count() == 4


@pytest.mark.django_db
@pytest.mark.parametrize("texts", STARTING_TEXTS, ids=lambda texts: texts.place)
def test_starting_texts_fill_the_fields_and_are_not_kept_until_saved(kept, texts):
    before = current_book().policies.agreement
    page = page_of(kept, f"?starting={texts.place}")
    for words in (texts.risk, texts.photos, texts.withdrawal):
        assert words.split("\n")[0] in page
    assert "not saved yet" in page
    assert page.count(NOTE) >= 4  # above, and beside each of the three
    assert current_book().policies.agreement == before


@pytest.mark.django_db
def test_an_edited_text_is_called_a_starting_text_no_more(kept):
    typed = shown(kept, PAGE) | {
        "risk_words": "Ours until you have looked it over.", "photo_words": "May we?", "withdrawal_words": "None.",
    }  # fmt: skip
    kept.post(reverse(PAGE), typed)
    assert page_of(kept).count(NOTE) == 1


@pytest.mark.django_db
def test_staff_and_strangers_do_not_set_it(shop, as_ben, client):
    assert as_ben.get(reverse(PAGE)).status_code == 403
    assert client.get(reverse(PAGE)).status_code == 302


@pytest.mark.django_db
@pytest.mark.parametrize("euro", [False, True], ids=["dollars", "euros"])
def test_the_agreement_goes_out_and_comes_in_with_the_book(euro):
    book = sample_book(euro=euro)
    take_in_book(book)
    assert current_book().policies.agreement == book.policies.agreement
    assert book.policies.agreement.place == ("eu" if euro else "us")
    set_cancelling(None, steps=())
    assert current_book().policies.agreement.cancelling == ()


def cautions(*steps, deposit="0.5", place="", bake=3):
    schedule = tuple(CancelStep(days, Decimal(share)) for days, share in steps)
    return " ".join(
        fairness_cautions(
            Agreement(cancelling=schedule, place=place), deposit_share=Decimal(deposit), bake_days_before=bake
        )
    )  # fmt: skip


def test_a_deposit_that_never_goes_back_is_called_hard_to_defend():
    # CMA37 and Consumer Rights Act 2015 Part 2: what is kept must reflect the real loss.
    assert "the whole deposit of 50 % stays with you" in cautions((90, "0.5"), (0, "1"))
    assert "stays with you" not in cautions((90, "0.1"), (0, "1"))


def test_all_of_the_total_long_before_the_cake_is_begun_is_named():
    assert "from 30 days before, though a cake is begun at most 3 days" in cautions(
        (60, "0.1"), (30, "1")
    )
    assert "though a cake is begun" not in cautions((60, "0.1"), (7, "1"))


def test_each_place_has_its_own_caution():
    # UCC 2-718(2)(b): the smaller of 20 % and $500.
    assert "the smaller of 20 % and $500" in cautions((60, "0.1"), place="us")
    assert "From 30 days before, more than 20 % is kept" in cautions(
        (60, "0.1"), (30, "0.25"), place="us"
    )
    assert "reflect your real loss" in cautions((60, "0.1"), place="uk")
    assert "2021/C 525/01" in cautions((60, "0.1"), place="eu")
    assert "each province" in cautions((60, "0.1"), place="ca")
    assert "UCC" not in cautions((60, "0.1"), place="uk")


def test_a_schedule_that_falls_is_a_problem_and_one_that_rises_is_none():
    rising = (CancelStep(60, Decimal("0.1")), CancelStep(7, Decimal(1)))
    falling = (CancelStep(60, Decimal("0.5")), CancelStep(7, Decimal("0.1")))
    assert schedule_problems(rising) == ()
    assert len(schedule_problems(falling)) == 1


@pytest.mark.parametrize("place", ["us", "eu", "uk", "ca"])
def test_each_places_text_speaks_of_withdrawing_and_leaves_rights_alone(place):
    texts = starting_texts(place)
    assert texts.note == NOTE
    assert "schedule on this sheet" in texts.withdrawal
    assert (
        "not touched by this" in texts.withdrawal or "takes none of them away" in texts.withdrawal
    )
    # Directive 2011/83/EU Art. 16(c) and (d); SI 2013/3134 reg. 28(1)(b) and (c).
    named = {"eu": "Article 16(c) and (d)", "uk": "regulation 28(1)(b) and (c)"}
    assert named.get(place, "") in texts.withdrawal
    assert "free to say no" in texts.photos
