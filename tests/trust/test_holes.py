"""Ways round the rules of keeping: is each of them closed? Written down as they were found."""

from dataclasses import replace

import pytest
from django.urls import reverse

from consult.actions import consultations, designs, money, photos, sheets
from consult.actions.keeping import Overtaken, Seen, Settled
from consult.core.design import Kind, Need, Swatch
from consult.finding import consultation_at_hand
from consult.models import Consultation, Entry, Payment, Photo, Sheet, State
from consult.steps.sheet import shown
from shop.actions import change_in_catalogue, take_off_list
from shop.core.money import Money
from shop.models import BookEdition, Decoration, Flavour
from shop.sample_setup import sample_book
from tests.consultations import keys, make_consultation, seen
from tests.makers import make_design
from tests.steps.test_photos import add, picture
from tests.trust.stage import post, quoted_with_picture, signed_with_deposit

pytestmark = pytest.mark.django_db


def payment(row, by, minor, at=None):
    asked = sheets.current_sheet(row).deposit
    amount = Money(minor, row.book().currency)
    return money.note_payment(
        row, by=by, seen=at or seen(row), amount=amount, received_on=asked.due_on, means="cash",
        all_the_same=True,
    )  # fmt: skip


def test_every_payment_stands_in_the_record_not_only_the_one_that_confirms(rosa, as_rosa):
    row = signed_with_deposit(as_rosa, rosa)
    for minor in (100, 200, 10**6, 300):
        before = row.revision
        payment(row, rosa, minor)
        row.refresh_from_db()
        assert row.revision == before + 1
    assert row.state == State.CONFIRMED
    said = row.record.filter(what="payment").values_list("says", flat=True)
    assert len(said) == Payment.objects.count() == 4


def test_a_payment_noted_from_an_older_page_is_refused(rosa, ben, as_rosa):
    row = signed_with_deposit(as_rosa, rosa)
    old = Seen(row.revision, "her tablet")
    payment(row, ben, 100, Seen(row.revision, "his tablet"))
    with pytest.raises(Overtaken):
        payment(row, rosa, 100, old)


def test_a_second_sheet_moves_the_revision_and_stands_in_the_record(rosa, as_rosa):
    row = quoted_with_picture(as_rosa, rosa)
    post(as_rosa, "servings", row, {"guests": "79", "slice": "dessert", "eating_percent": "100"})
    row.refresh_from_db()
    before = row.revision
    post(as_rosa, "sheet", row)
    row.refresh_from_db()
    assert Sheet.objects.filter(consultation=row).count() == 2
    assert row.revision == before + 1
    assert row.record.filter(what="sheet").count() == 2


def test_a_sheet_worked_out_before_the_design_changed_is_not_made(rosa):
    """The same page may save again and again, but a sheet is of one design: the one it was worked out from."""
    row = make_consultation(rosa)
    page = Seen(row.revision, "one page")
    at = consultation_at_hand(row.pk)
    sheet = shown(at)["sheet"]
    other = Consultation.objects.get(pk=row.pk)
    consultations.set_need(other, by=rosa, seen=page, need=Need(60, "dessert"))
    with pytest.raises(Overtaken):
        sheets.make_sheet(at.row, by=rosa, seen=page, sheet=sheet, bench=())
    assert not Sheet.objects.exists()


def test_two_colours_tapped_at_once_on_one_page_are_not_lost(rosa):
    """Both taps read the design before either was kept: the second is refused rather than taking the first away."""
    row = make_consultation(rosa)
    page = Seen(row.revision, "one page")
    first, second = consultation_at_hand(row.pk), consultation_at_hand(row.pk)
    rose, sage = Swatch("rose", "#dc7386"), Swatch("sage", "#a5b496")
    designs.choose_swatches(first.row, first.design, by=rosa, seen=page, swatches=(rose,))
    with pytest.raises(Overtaken):
        designs.choose_swatches(second.row, second.design, by=rosa, seen=page, swatches=(sage,))
    assert consultation_at_hand(row.pk).design.swatches == (rose,)


def test_saving_the_same_need_again_never_changes_a_design_in_silence(rosa):
    row = make_consultation(rosa, keep_top=True, design=make_design(keep_top=True))
    at = consultation_at_hand(row.pk)
    served = tuple(replace(tier, kind=Kind.EATEN) for tier in at.design.tiers)
    designs.choose_tiers(at.row, at.design, by=rosa, seen=seen(row), tiers=served)
    row.refresh_from_db()
    before = (row.revision, row.designs.get().body)
    need = consultation_at_hand(row.pk).brief.need
    consultations.set_need(row, by=rosa, seen=seen(row), need=need)
    row.refresh_from_db()
    after = (row.revision, row.designs.get().body)
    assert after == before or row.revision == before[0] + 1


def test_a_picture_sent_to_a_signed_consultation_is_refused_in_words(rosa, as_rosa):
    row = signed_with_deposit(as_rosa, rosa)
    answer = add(as_rosa, row, picture("#2F6F4F"))
    assert answer.status_code in (409, 422)
    assert "stays as it was signed" in answer.content.decode()
    assert Photo.objects.filter(consultation=row).count() == 1


def test_there_is_no_room_for_a_thirteenth_picture_in_the_action_itself(rosa, as_rosa):
    row = make_consultation(rosa)
    for number in range(photos.MOST_PHOTOS + 1):
        answer = add(as_rosa, row, picture(f"#{number * 19:02x}6b{250 - number * 19:02x}"))
    assert answer.status_code == 422
    assert Photo.objects.filter(consultation=row).count() == photos.MOST_PHOTOS


def sample_consultation(shop, browser):
    answer = browser.post(reverse("consult:new"))
    row = Consultation.objects.latest("pk")
    assert answer.status_code == 302
    return row


def test_reading_the_overview_writes_no_new_edition(shop, as_rosa):
    row = sample_consultation(shop, as_rosa)
    change_in_catalogue(Flavour.objects.first(), name="Orange blossom")
    before = BookEdition.objects.count()
    page = as_rosa.get(reverse("consult:overview", args=[row.pk])).content.decode()
    assert BookEdition.objects.count() == before
    assert "today" in page.lower()


def test_todays_prices_without_what_was_chosen_are_refused_in_words(shop, rosa, as_rosa):
    """What the shop offers no more cannot stay in a design on today's prices: the pages could not show it."""
    book = sample_book()
    flavour, gone = book.flavours[1].code, book.decorations[0]
    row = sample_consultation(shop, as_rosa)
    design = make_design(
        flavour=flavour, filling=book.fillings[0].code, finish=book.finishes[0].code
    )
    at = consultation_at_hand(row.pk)
    designs.choose_tiers(at.row, at.design, by=rosa, seen=seen(row), tiers=design.tiers)
    row.refresh_from_db()
    post(as_rosa, "decorations", row, {"add": gone.code})
    take_off_list(Decoration.objects.get(code=gone.code))
    row.refresh_from_db()
    answer = as_rosa.post(reverse("consult:prices", args=[row.pk]), keys(row), follow=True)
    assert answer.status_code == 200
    assert gone.name in answer.content.decode()
    assert "no longer" in answer.content.decode()
    for name in ("overview", "tiers", "decorations", "sheet"):
        assert as_rosa.get(reverse(f"consult:{name}", args=[row.pk])).status_code == 200, name
    post(as_rosa, "decorations", row, {"take_off": "0", **decoration_fields(row)})
    row.refresh_from_db()
    before = row.edition_id
    as_rosa.post(reverse("consult:prices", args=[row.pk]), keys(row))
    row.refresh_from_db()
    assert row.edition_id != before
    assert as_rosa.get(reverse("consult:decorations", args=[row.pk])).status_code == 200


def decoration_fields(row):
    chosen = consultation_at_hand(row.pk).design.decorations
    place = {None: "all"}
    return {
        key: value
        for number, one in enumerate(chosen)
        for key, value in (
            (f"count_{number}", one.count),
            (f"tier_{number}", place.get(one.tier, one.tier)),
        )
    }


def test_a_double_tap_on_copy_makes_one_copy(rosa, as_rosa):
    row = make_consultation(rosa)
    said = {**keys(row, once="one tap"), "step": "tiers"}
    for _ in range(3):
        as_rosa.post(reverse("consult:designs", args=[row.pk]), said)
    assert row.designs.count() == 2


def test_a_double_tap_on_new_opens_one_consultation(shop, as_rosa):
    for _ in range(3):
        answer = as_rosa.post(reverse("consult:new"), {"once": "one tap"})
        assert answer.status_code == 302
    assert Consultation.objects.count() == 1
    page = as_rosa.get(reverse("consult:desk")).content.decode()
    form = page[page.index(f'action="{reverse("consult:new")}"') :]
    assert 'name="once"' in form[: form.index("</form>")]


def test_a_number_after_9999_in_a_year_is_the_next_one(shop, rosa):
    row = make_consultation(rosa)
    year = consultation_at_hand(row.pk).today.year
    for number in ("9998", "9999", "10000"):
        make_consultation(rosa)
        Consultation.objects.filter(pk=Consultation.objects.latest("pk").pk).update(
            number=f"{year}-{number}"
        )
    assert consultations.open_consultation(by=rosa).number == f"{year}-10001"


def test_a_closed_consultation_is_declined_once(rosa):
    row = make_consultation(rosa)
    consultations.decline(row, by=rosa, seen=seen(row), why="another shop")
    with pytest.raises(Settled):
        consultations.decline(row, by=rosa, seen=seen(row), why="again")
    assert Entry.objects.filter(what="declined").count() == 1
