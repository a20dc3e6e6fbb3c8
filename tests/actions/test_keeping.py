"""A change is kept once, only on what it was made from, and with a line in a record that shows tampering."""

import pytest
from django.db import IntegrityError, connection, transaction

from consult.actions import consultations, designs
from consult.actions.keeping import KeyMismatch, Overtaken, Seen, Settled, once
from consult.core.design import ChosenDecoration, Limits, Need
from consult.core.signing import Link, verify_chain
from consult.models import Answered, Consultation, State
from shop.models import SealedRow
from tests.consultations import make_consultation, seen
from tests.makers import make_design

pytestmark = pytest.mark.django_db


def set_guests(row, by, guests, at=None):
    consultations.set_need(row, by=by, seen=at or seen(row), need=Need(guests, "dessert"))


def test_a_change_moves_the_revision_and_leaves_a_line_in_the_record(rosa):
    row = make_consultation(rosa)
    set_guests(row, rosa, 96)
    kept = Consultation.objects.get(pk=row.pk)
    assert (kept.guests, kept.revision) == (96, 2)
    assert kept.record.last().says == "Servings: 96 guests"
    assert kept.record.last().who == rosa


def test_a_change_made_from_an_older_revision_keeps_nothing(rosa, ben):
    row = make_consultation(rosa)
    as_rosa_saw_it = Seen(row.revision, "her tablet")
    set_guests(row, ben, 90, Seen(row.revision, "his tablet"))
    with pytest.raises(Overtaken):
        set_guests(row, rosa, 120, as_rosa_saw_it)
    kept = Consultation.objects.get(pk=row.pk)
    assert (kept.guests, kept.revision, kept.record.count()) == (90, 2, 2)


def test_two_saves_of_one_open_page_do_not_clash(rosa):
    row = make_consultation(rosa)
    first = Seen(row.revision, "one page")
    set_guests(row, rosa, 90, first)
    set_guests(row, rosa, 95, first)
    assert Consultation.objects.get(pk=row.pk).guests == 95


def test_a_page_clashes_once_somebody_else_came_between(rosa, ben):
    row = make_consultation(rosa)
    first = Seen(row.revision, "one page")
    set_guests(row, rosa, 90, first)
    set_guests(row, ben, 91)
    with pytest.raises(Overtaken):
        set_guests(row, rosa, 95, first)


def test_a_signed_design_is_never_edited(rosa):
    row = make_consultation(rosa, state=State.SIGNED)
    with pytest.raises(Settled, match="start a new revision"):
        consultations.set_limits(row, by=rosa, seen=seen(row), limits=Limits())
    assert Consultation.objects.get(pk=row.pk).revision == row.revision


def test_the_same_key_twice_is_one_change_and_the_same_answer():
    done = []

    def act():
        done.append(1)
        return f"answer {len(done)}"

    answers = [once("person 1", "key", "what was asked", act) for _ in range(5)]
    assert answers == ["answer 1"] * 5
    assert done == [1]


def test_the_same_key_with_other_words_is_refused():
    once("person 1", "key", "ninety guests", lambda: "")
    with pytest.raises(KeyMismatch):
        once("person 1", "key", "a hundred guests", lambda: "")


def test_the_same_key_of_another_person_is_another_change():
    assert once("person 1", "key", "words", lambda: "one") == "one"
    assert once("person 2", "key", "words", lambda: "two") == "two"


def test_a_change_that_fails_leaves_its_key_free():
    def fails():
        raise ValueError("the oven is cold")

    with pytest.raises(ValueError, match="cold"):
        once("person 1", "key", "words", fails)
    assert not Answered.objects.exists()
    assert once("person 1", "key", "words", lambda: "warm again") == "warm again"


def links(row):
    return [Link(entry.as_hashed(), entry.previous, entry.hash) for entry in row.record.all()]


def test_the_record_is_a_whole_chain(rosa):
    row = make_consultation(rosa)
    for guests in (81, 82, 83):
        set_guests(row, rosa, guests)
    assert row.record.count() == 4
    assert verify_chain(links(row)) is None


def test_the_record_refuses_a_change_through_rows_and_through_sql(rosa):
    row = make_consultation(rosa)
    entry = row.record.first()
    entry.says = "nothing happened"
    with pytest.raises(SealedRow):
        entry.save()
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE consult_entry SET says = 'nothing happened'")
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM consult_entry")
    assert row.record.first().says == "Consultation opened"


def test_a_record_changed_behind_the_guard_is_found(rosa):
    row = make_consultation(rosa)
    set_guests(row, rosa, 81)
    set_guests(row, rosa, 82)
    entries = links(row)
    for place, entry in enumerate(entries):
        forged = Link({**entry.entry, "says": "nothing happened"}, entry.previous, entry.hash)
        assert verify_chain([*entries[:place], forged, *entries[place + 1 :]]) == place
    assert verify_chain(entries[:1] + entries[2:]) == 1


def test_saving_what_is_kept_already_is_no_change(rosa):
    row = make_consultation(rosa)
    set_guests(row, rosa, 90)
    set_guests(row, rosa, 90)
    kept = Consultation.objects.get(pk=row.pk)
    assert (kept.revision, kept.record.count()) == (2, 2)


def test_the_record_names_what_was_chosen_and_measures_as_the_shop_does(rosa):
    row = make_consultation(rosa, design=make_design((10, 8)))
    leaves = ChosenDecoration("sugar_rose", 9, 1)
    at = make_design((10, 8))
    designs.choose_decorations(row, at, by=rosa, seen=seen(row), decorations=(leaves,))
    row.refresh_from_db()
    at = row.designs.get().as_value()
    designs.choose_tiers(row, at, by=rosa, seen=seen(row), tiers=make_design((12, 9)).tiers)
    said = [entry.says for entry in row.record.all()][-2:]
    name = row.book().decoration("sugar_rose").name
    assert said == [
        f"Decorations: 9 × {name} on tier 2",
        "Tiers: 12 in round + 9 in round, each 4 in tall",
    ]
