"""Two tablets, one consultation: whoever saves second sees both answers, and keeps the one they choose."""

import pytest

from consult.models import Consultation
from shop.models import Person
from tests.consultations import make_consultation
from tests.journeys.counter import BEN, ROSA, named

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def tablets(open_page):
    """Rosa's and Ben's, with the same step open on both."""
    rosa, ben = (Person.objects.get(email=person.email) for person in (ROSA, BEN))
    row = make_consultation(rosa, guests=80, spare=0)
    pages = [open_page("tablet", person=person) for person in (rosa, ben)]
    for page in pages:
        page.goto(f"/consultations/{row.pk}/servings/")
    return pages


def change_guests(page, guests):
    with page.expect_response(lambda answer: answer.request.method == "POST") as answer:
        named(page, "guests").fill(guests)
        named(page, "guests").blur()
    return answer.value


def test_second_save_shows_both_answers_and_keep_mine_keeps_it(tablets):
    rosas, bens = tablets
    assert change_guests(rosas, "95").status == 200
    named(bens, "spare").fill("4")
    assert change_guests(bens, "110").status == 409

    bens.get_by_text("Somebody else changed this consultation while you were here.").wait_for()
    rows = bens.get_by_role("row")
    assert rows.filter(has_text="Guests").get_by_role("cell").all_inner_texts() == ["110", "95"]
    assert rows.filter(has_text="Spare").get_by_role("cell").all_inner_texts()[0] == "4"
    assert named(bens, "guests").input_value() == "110"
    assert named(bens, "spare").input_value() == "4"
    assert Consultation.objects.get().guests == 95

    with bens.expect_response(lambda answer: answer.request.method == "POST") as answer:
        bens.get_by_role("button", name="Keep mine").click()
    assert answer.value.status == 200
    bens.get_by_text("Somebody else changed").wait_for(state="detached")
    row = Consultation.objects.get()
    assert (row.guests, row.spare) == (110, 4)
    assert row.record.count() == 3, "opened, Rosa's answer and Ben's: none of them is lost"
    assert change_guests(bens, "111").status == 200, "and one's own next answer is no clash"


def test_take_theirs_shows_what_is_kept(tablets):
    rosas, bens = tablets
    change_guests(rosas, "95")
    change_guests(bens, "110")
    bens.get_by_role("link", name="Take theirs").click()
    bens.get_by_text("Somebody else changed").wait_for(state="detached")

    assert named(bens, "guests").input_value() == "95"
    assert Consultation.objects.get().guests == 95
