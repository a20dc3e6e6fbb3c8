"""Step signing: exactly what was shown, once, drawn or typed, and nothing else of the shop in the client's hands."""

import json

import pytest
from django.urls import reverse

from consult.models import BenchDay, Consultation, Sheet, Signature, State
from shop.models import SealedRow
from tests.consultations import keys, make_consultation
from tests.papers import words_of

pytestmark = pytest.mark.django_db

STROKES = json.dumps([[[0.1, 0.5], [0.3, 0.2], [0.5, 0.7], [0.8, 0.3]]])


def url(row):
    return reverse("consult:signing", args=[row.pk])


def quoted(browser, person, **fields):
    row = make_consultation(person, **fields)
    browser.post(reverse("consult:sheet", args=[row.pk]), {"lead_on": "yes", **keys(row)})
    row.refresh_from_db()
    return row


def mark(**changes):
    shown = Sheet.objects.latest("pk").fingerprint
    data = {"name": "Ann Okafor", "strokes": STROKES, "agreed": "on", "shown": shown}
    return {key: value for key, value in {**data, **changes}.items() if value is not None}


def test_a_drawn_signature_binds_the_sheet_that_was_shown(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    assert as_rosa.post(url(row), mark()).status_code == 302
    row.refresh_from_db()
    signature = Signature.objects.get()
    assert row.state == State.SIGNED
    assert signature.fingerprint == Sheet.objects.get().fingerprint
    assert (signature.name, signature.how, signature.witness) == (
        "Ann Okafor",
        "drawn at the counter",
        rosa,
    )
    paper = as_rosa.get(reverse("consult:design_sheet", args=[row.pk, 1])).content
    assert "Ann Okafor" in words_of(paper)
    assert "Rosa Abara" in words_of(paper)
    assert BenchDay.objects.filter(consultation=row).exists()


def test_a_typed_name_signs_for_whoever_cannot_draw(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    assert as_rosa.post(url(row), mark(strokes="", typed="on")).status_code == 302
    assert Signature.objects.get().how == "typed at the counter"
    assert Signature.objects.get().strokes == []
    assert Consultation.objects.get(pk=row.pk).state == State.SIGNED


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"strokes": ""}, "typed", "sign in the box"),
        ({"strokes": "[[[0.5,0.5]]]"}, "typed", "name"),
        ({"strokes": "not strokes"}, "typed", ""),
        ({"name": ""}, "name", "name of the person who signs"),
        ({"agreed": None}, "agreed", "tick that you agree"),
    ],
)
def test_what_is_missing_is_said_beside_its_field_and_nothing_is_signed(
    changes, field, says, rosa, as_rosa
):
    row = quoted(as_rosa, rosa)
    answer = as_rosa.post(url(row), mark(**changes))
    html = answer.content.decode()
    assert answer.status_code == 422
    assert says in html[html.index(f'id="id_{field}_error"') :][:300]
    assert not Signature.objects.exists()


def test_everything_missing_is_said_at_once(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    html = as_rosa.post(url(row), mark(strokes="", name="", agreed=None)).content.decode()
    for field in ("typed", "name", "agreed"):
        assert f'id="id_{field}_error"' in html


def test_a_sheet_overtaken_since_it_was_shown_is_not_signed(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    shown = mark()
    as_rosa.post(
        reverse("consult:servings", args=[row.pk]),
        {"guests": "79", "slice": "dessert", "eating_percent": "100", **keys(row)},
    )
    row.refresh_from_db()
    as_rosa.post(reverse("consult:sheet", args=[row.pk]), {"lead_on": "yes", **keys(row)})
    answer = as_rosa.post(url(row), shown)
    assert answer.status_code == 422
    assert "changed after it was shown" in answer.content.decode()
    assert not Signature.objects.exists()


def test_a_sheet_is_signed_once(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    as_rosa.post(url(row), mark())
    as_rosa.post(url(row), mark(name="Somebody Else"))
    assert [signature.name for signature in Signature.objects.all()] == ["Ann Okafor"]


def test_after_signing_no_step_changes_the_design(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    as_rosa.post(url(row), mark())
    row.refresh_from_db()
    before = row.designs.get(letter="A").body
    answer = as_rosa.post(
        reverse("consult:servings", args=[row.pk]),
        {"guests": "300", "slice": "dessert", "eating_percent": "100", **keys(row)},
    )
    assert answer.status_code == 409
    assert "stays as it was signed" in answer.content.decode()
    row.refresh_from_db()
    assert (row.guests, row.designs.get(letter="A").body) == (80, before)


def test_sheet_and_signature_can_be_neither_changed_nor_deleted(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    as_rosa.post(url(row), mark())
    signature, sheet = Signature.objects.get(), Sheet.objects.get()
    for thing in (signature, sheet):
        with pytest.raises(SealedRow):
            thing.save()
        with pytest.raises(SealedRow):
            thing.delete()


def test_a_change_after_signing_is_a_new_revision_with_a_new_signature(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    as_rosa.post(url(row), mark())
    row.refresh_from_db()
    as_rosa.post(reverse("consult:revise", args=[row.pk]), keys(row))
    row.refresh_from_db()
    assert row.state == State.CONSULTATION
    as_rosa.post(
        reverse("consult:servings", args=[row.pk]),
        {"guests": "79", "slice": "dessert", "eating_percent": "100", **keys(row)},
    )
    row.refresh_from_db()
    as_rosa.post(reverse("consult:sheet", args=[row.pk]), {"lead_on": "yes", **keys(row)})
    as_rosa.post(url(row), mark(name="Ann Okafor"))
    assert [sheet.revision for sheet in Sheet.objects.all()] == [1, 2]
    assert Signature.objects.count() == 2
    first = as_rosa.get(reverse("consult:design_sheet", args=[row.pk, 1]))
    assert "Ann Okafor" in words_of(first.content)


def test_the_pad_and_the_name_are_never_filled_in_beforehand(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    html = as_rosa.get(url(row)).content.decode()
    assert 'name="strokes" id="id_strokes" value=""' in html
    name = html[html.index('name="name"') - 100 :][:300]
    assert "Okafor" not in name


def test_in_the_clients_hands_only_the_sheet_can_be_opened(rosa, as_rosa):
    row, other = quoted(as_rosa, rosa), make_consultation(rosa, client_name="Somebody Else")
    as_rosa.post(reverse("consult:hand_over", args=[row.pk]))
    here = url(row)
    closed = [
        reverse("consult:desk"),
        reverse("consult:overview", args=[row.pk]),
        reverse("consult:record", args=[row.pk]),
        *(
            reverse(f"consult:{name}", args=[row.pk])
            for name in ("event", "tiers", "sheet", "deposit")
        ),
        reverse("consult:signing", args=[other.pk]),
        reverse("account"),
        reverse("shop"),
        reverse("log_out"),
    ]
    for address in closed:
        for answer in (as_rosa.get(address), as_rosa.post(address, {})):
            assert (answer.status_code, answer["Location"]) == (302, here), address
    html = as_rosa.get(here).content.decode()
    assert "Sign this sheet" in html
    for word in ("Bench hours", "Consultations", "trail", "Menu"):
        assert word not in html
    assert as_rosa.get(reverse("consult:design_sheet", args=[row.pk, 1])).status_code == 200


def test_the_tablet_comes_back_with_the_password_only(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    as_rosa.post(reverse("consult:hand_over", args=[row.pk]))
    back = reverse("consult:take_back", args=[row.pk])
    wrong = as_rosa.post(back, {"password": "let me in"})
    assert wrong.status_code == 422
    assert as_rosa.get(reverse("consult:desk")).status_code == 302
    as_rosa.post(back, {"password": "a whisk and a bowl"})
    assert as_rosa.get(reverse("consult:desk")).status_code == 200
