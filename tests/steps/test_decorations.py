"""Step decorations: what is put on, how many, where."""

import pytest
from django.urls import reverse

from consult.core.design import ChosenDecoration
from tests.consultations import keys, make_consultation
from tests.makers import make_design

pytestmark = pytest.mark.django_db


def url(row):
    return reverse("consult:decorations", args=[row.pk])


def on(row):
    return row.designs.get(letter="A").as_value().decorations


def with_one(rosa):
    row = make_consultation(rosa)
    what = row.book().decorations[0].code
    return make_consultation(rosa, design=make_design(decorations=[ChosenDecoration(what, 3, 2)]))


def answers(row, **changes):
    return {"count_0": "3", "tier_0": "2", "note_0": "", "colour_0": "", "own_0": "#ffffff",
            **keys(row), **changes}  # fmt: skip


def test_a_decoration_is_added_from_the_list(rosa, as_rosa):
    row = make_consultation(rosa)
    what = row.book().decorations[0].code
    assert as_rosa.post(url(row), {"add": what, **keys(row)}).status_code == 302
    assert [chosen.what for chosen in on(row)] == [what]


def test_count_and_place_are_kept_and_the_price_follows(rosa, as_rosa):
    row = with_one(rosa)
    before = as_rosa.get(url(row)).context["at"].reckoning.quote.total
    as_rosa.post(url(row), answers(row, count_0="12", tier_0="0", note_0="falling to the left"))
    (chosen,) = on(row)
    assert (chosen.count, chosen.tier, chosen.note) == (12, 0, "falling to the left")
    after = as_rosa.get(url(row)).context["at"].reckoning.quote.total
    assert after.minor > before.minor


@pytest.mark.parametrize("typed", ["0", "9999", "a few"])
def test_a_count_nobody_makes_is_refused_beside_its_field(typed, rosa, as_rosa):
    row = with_one(rosa)
    answer = as_rosa.post(url(row), answers(row, count_0=typed))
    assert answer.status_code == 422
    assert "from 1 to 500" in answer.content.decode()
    assert on(row)[0].count == 3


def test_a_decoration_is_taken_off(rosa, as_rosa):
    row = with_one(rosa)
    as_rosa.post(url(row), answers(row, take_off="0"))
    assert on(row) == ()


def test_something_that_is_not_in_the_catalogue_is_not_added(rosa, as_rosa):
    row = make_consultation(rosa)
    as_rosa.post(url(row), {"add": "firework", **keys(row)})
    assert on(row) == ()


def own_answers(row, **changes):
    return {"form": "own", "own_name": "Sugar hedgehog", "own_price": "45", "own_minutes": "60",
            "own_eaten": "no", "own_contains": ["almond"], **keys(row), **changes}  # fmt: skip


def test_something_that_is_in_no_catalogue_is_put_on(rosa, as_rosa):
    row = make_consultation(rosa)
    before = as_rosa.get(url(row)).context["at"].reckoning.quote.total
    assert as_rosa.post(url(row), own_answers(row)).status_code == 302
    page = as_rosa.get(url(row))
    assert "Sugar hedgehog" in page.content.decode()
    assert page.context["at"].reckoning.quote.total.minor - before.minor >= 4500
    assert row.record.last().says == "Decorations: 1 × Sugar hedgehog on tier 3"


def test_a_piece_of_its_own_needs_a_name_a_price_and_its_minutes(rosa, as_rosa):
    row = make_consultation(rosa)
    answer = as_rosa.post(url(row), own_answers(row, own_name="", own_minutes=""))
    assert answer.status_code == 422
    words = answer.content.decode()
    assert "such as: sugar hedgehog" in words
    assert 'value="45"' in words  # what was typed is still there
    assert on(row) == ()


def test_what_was_made_for_this_cake_is_gone_once_it_is_taken_off(rosa, as_rosa):
    row = make_consultation(rosa)
    as_rosa.post(url(row), own_answers(row))
    as_rosa.post(url(row), answers(row, count_0="1", take_off="0"))
    assert row.designs.get(letter="A").as_value().own == ()
    assert as_rosa.get(url(row)).status_code == 200
