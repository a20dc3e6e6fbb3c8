"""Two tablets at once: is one change kept once, is nothing lost, is only what was shown ever signed?

Each of these has a control with its guard off, which must show the fault, or the test would be blind.
"""

import random
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import OperationalError, connection, connections, transaction
from django.urls import reverse
from django.utils import timezone

from consult.actions import consultations, money, sheets
from consult.actions.keeping import KeyMismatch, Overtaken, Seen, Settled, move_on, once
from consult.core.design import Limits, Need
from consult.core.signing import Link, verify_chain
from consult.core.strokes import strokes_from
from consult.finding import consultation_at_hand
from consult.models import (
    Answered,
    Consultation,
    DesignRow,
    Payment,
    Sheet,
    Signature,
    State,
)
from consult.steps.sheet import shown
from shop.core.money import Money
from tests.conftest import logged_in
from tests.consultations import keys, make_consultation
from tests.makers import make_design
from tests.steps.test_signing import STROKES, mark
from tests.trust.together import together

pytestmark = pytest.mark.django_db(transaction=True)


def chain_is_whole(row):
    links = [Link(entry.as_hashed(), entry.previous, entry.hash) for entry in row.record.all()]
    places = [entry.place for entry in row.record.all()]
    return verify_chain(links) is None and places == list(range(1, len(places) + 1))


def quoted(by, guests=10):
    """A small cake with its sheet made, as the step makes it."""
    row = make_consultation(by, guests=guests, design=make_design((6,)))
    at = consultation_at_hand(row.pk)
    sheet = shown(at)["sheet"]
    sheets.make_sheet(at.row, by=by, seen=Seen(at.row.revision), sheet=sheet, bench=())
    return at.row


# --- the same key, again and again ---


def until_kept(act):
    """Again with the same key for as long as somebody else was faster, as a tablet does."""
    while True:
        try:
            return act()
        except Overtaken:
            continue


def test_eight_workers_with_the_same_200_keys_make_200_changes(rosa):
    row = make_consultation(rosa, state=State.SIGNED)
    today, workers, count = timezone.localdate(), 8, 200

    def pay(number):
        def act():
            fresh = Consultation.objects.get(pk=row.pk)
            money.note_payment(
                fresh, by=rosa, seen=Seen(fresh.revision), amount=Money(number + 1, "USD"),
                received_on=today, means="cash", all_the_same=True,
            )  # fmt: skip
            return f"paid {number}"

        return once("person 1", f"key {number}", f"pay {number}", act)

    def worker(seed):
        order = list(range(count))
        random.Random(seed).shuffle(order)
        return {number: until_kept(lambda number=number: pay(number)) for number in order}

    answers = together([lambda seed=seed: worker(seed) for seed in range(workers)])
    assert answers == [{number: f"paid {number}" for number in range(count)}] * workers
    amounts = sorted(Payment.objects.values_list("amount_minor", flat=True))
    assert amounts == list(range(1, count + 1))
    assert Answered.objects.count() == count
    row.refresh_from_db()
    assert row.revision == 1 + count
    assert chain_is_whole(row)


def test_without_their_keys_the_same_requests_are_made_again():
    """The control: what the keys are for does happen without them."""
    done = []
    for _ in range(8):
        once("person 1", "", "pay", lambda: done.append(1) or "paid")
    assert len(done) == 8


def test_a_key_with_other_words_at_the_same_time_is_one_change_and_one_refusal():
    outcomes = together(
        [lambda n=n: once("person 1", "one key", f"words {n}", lambda: f"{n}") for n in range(4)]
    )
    kept = [outcome for outcome in outcomes if isinstance(outcome, str)]
    assert len(kept) == 1
    assert sum(isinstance(outcome, KeyMismatch) for outcome in outcomes) == 3


def test_a_payment_sent_by_four_taps_at_once_is_one_payment(rosa):
    row = quoted(rosa)
    logged_in(rosa).post(reverse("consult:signing", args=[row.pk]), mark())
    logged_in(rosa).post(reverse("consult:deposit", args=[row.pk]))
    row.refresh_from_db()
    said = {
        **keys(row, once="one tap"), "amount": "10", "means": "cash",
        "received_on": timezone.localdate().isoformat(),
    }  # fmt: skip
    tap = reverse("consult:deposit", args=[row.pk])
    answers = together([lambda: logged_in(rosa).post(tap, said).status_code] * 4)
    assert answers == [302] * 4
    assert Payment.objects.count() == 1


# --- two tablets on one consultation ---


def saves(row, by, first, rounds):
    """A tablet that reads, sees the revision and saves another budget, over and over: (kept, refused)."""
    kept = []
    refused = 0
    for number in range(first, first + rounds):
        fresh = Consultation.objects.get(pk=row.pk)
        limits, seen = Limits(budget=Money(number, "USD")), Seen(fresh.revision, f"page {number}")
        try:
            consultations.set_limits(fresh, by=by, seen=seen, limits=limits)
            kept.append(number)
        except Overtaken:
            refused += 1
    return kept, refused


def test_two_tablets_lose_nothing_in_a_thousand_saves(rosa):
    row = make_consultation(rosa, design=make_design((6,)))
    outcomes = together([lambda first=first: saves(row, rosa, first, 500) for first in (1, 10**6)])
    kept = [number for tablet, _ in outcomes for number in tablet]
    refused = sum(number for _, number in outcomes)
    assert len(kept) + refused == 1_000
    assert refused, "the tablets never met, so nothing was shown"
    row.refresh_from_db()
    assert row.revision == 1 + len(kept)
    said = [
        entry.details["limits"]["budget"]["amount"] for entry in row.record.filter(what="limits")
    ]
    assert sorted(said) == sorted(str(Money(number, "USD")) for number in kept)
    assert said[-1] == str(Money(row.budget_minor, "USD"))
    assert chain_is_whole(row)


def added_up(row, by, rounds, guarded):
    """Two tablets add 2 and 3 guests to what they read, and try again when refused: guests at the end."""

    def tablet(name, guests):
        for number in range(rounds):
            while True:
                fresh = Consultation.objects.get(pk=row.pk)
                more = Need(fresh.guests + guests, "dessert")
                seen = Seen(fresh.revision, f"{name} {number}") if guarded else None
                try:
                    consultations.set_need(fresh, by=by, seen=seen, need=more)
                    break
                except Overtaken:
                    continue

    outcomes = together(
        [lambda name=name, n=n: tablet(name, n) for name, n in (("left", 2), ("right", 3))]
    )
    assert outcomes == [None, None]
    return Consultation.objects.get(pk=row.pk).guests


def test_what_two_tablets_add_adds_up(rosa):
    row = make_consultation(rosa, guests=1, design=make_design((6,)))
    assert added_up(row, rosa, 60, guarded=True) == 301


def test_without_the_revision_two_tablets_do_lose_guests(rosa):
    """The control: with the guard off the same two tablets lose what the other added."""
    row = make_consultation(rosa, guests=1, design=make_design((6,)))
    assert added_up(row, rosa, 60, guarded=False) < 301


# --- signing against editing ---


def sheet_made(row, by, like):
    """The consultation quoted anew, on a copy of a sheet that was made before: its paper takes long to draw."""
    fresh = Consultation.objects.get(pk=row.pk)
    with transaction.atomic():
        move_on(
            fresh, by=by, seen=Seen(fresh.revision), what="sheet", says="sheet made", state=State.QUOTED
        )  # fmt: skip
        return Sheet.objects.create(
            consultation=fresh, revision=sheets.next_revision(fresh), letter="A", of_revision=fresh.revision,
            body=like.body, fingerprint=like.fingerprint, pdf_sha256=like.pdf_sha256, bench=[],
            made_at=timezone.now(), made_by=by,
        )  # fmt: skip


def signature_on(sheet, by):
    now = timezone.now()
    return Signature(
        sheet=sheet, name="Ann Okafor", how="drawn at the counter", consent="yes", signed_at=now,
        signed_at_local=str(now), witness=by, fingerprint=sheet.fingerprint, pdf_sha256=sheet.pdf_sha256,
    )  # fmt: skip


def bind_unguarded(consultation, signature):
    """Signing as it would be without the revision of the sheet: looks, then binds."""
    time.sleep(0.005)
    with transaction.atomic():
        move_on(
            consultation, by=None, seen=None, what="signed", says="signed", while_in=(State.QUOTED,),
            state=State.SIGNED,
        )  # fmt: skip
        signature.save()


def another(row):
    """A consultation like that one, on the same edition."""
    body, number = row.designs.get().body, Consultation.objects.count() + 1
    row.pk, row.number, row.state, row.revision = None, f"2026-{number:04d}", "consultation", 1
    row.save(force_insert=True)
    DesignRow.objects.create(consultation=row, letter="A", body=body)
    return row


def ending_in_refusal(act):
    """What it gave, or how it was refused."""

    def acted():
        try:
            return act()
        except (Overtaken, Settled) as refused:
            return refused

    return acted


@pytest.fixture
def tablets():
    """Two tablets that stay on: two threads, each with its own connection."""
    with ThreadPoolExecutor(2) as threads:
        yield threads
        meet = threading.Barrier(2)
        for left in [
            threads.submit(lambda: (meet.wait(60), connections.close_all())) for _ in "ab"
        ]:
            left.result(60)


def sign_against_edits(rosa, ben, rounds, bind, tablets):
    """Each round one tablet signs the sheet at hand and another edits: (signed, edited, on another sheet)."""
    like = Sheet.objects.get(consultation=quoted(rosa))
    chance = random.Random(20270515)
    signed = edited = astray = 0
    row = make_consultation(rosa, design=make_design((6,)))
    meet = threading.Barrier(2)
    for turn in range(rounds):
        sheet = sheet_made(row, rosa, like)
        waits = [chance.random() * 0.006, chance.random() * 0.018]  # signing has more to do first

        @ending_in_refusal
        def sign(pk=row.pk, sheet=sheet, wait=waits[0]):
            meet.wait(60)
            time.sleep(wait)
            fresh = Consultation.objects.get(pk=pk)
            if sheets.current_sheet(fresh) == sheet:
                bind(fresh, signature_on(sheet, rosa))

        @ending_in_refusal
        def edit(pk=row.pk, wait=waits[1], turn=turn):
            meet.wait(60)
            time.sleep(wait)
            fresh = Consultation.objects.get(pk=pk)
            need = Need(100 + turn, "dessert")
            consultations.set_need(fresh, by=ben, seen=Seen(fresh.revision, f"{turn}"), need=need)

        outcomes = [told.result(120) for told in [tablets.submit(sign), tablets.submit(edit)]]
        assert all(o is None or isinstance(o, Overtaken | Settled) for o in outcomes), outcomes
        row.refresh_from_db()
        if row.state == State.SIGNED:
            signed += 1
            entry = row.record.get(what="signed")
            astray += entry.revision != sheet.of_revision + 1
            row = another(row)
        else:
            edited += 1
            assert not Signature.objects.filter(sheet=sheet).exists()
    return signed, edited, astray


def test_a_signature_never_stands_on_a_sheet_that_was_changed_meanwhile(rosa, ben, tablets):
    signed, edited, astray = sign_against_edits(rosa, ben, 320, sheets.bind, tablets)
    assert signed > 10, "the signing tablet never won"
    assert edited > 10, "the editing tablet never won"
    assert astray == 0


def test_without_the_revision_of_the_sheet_a_signature_does_go_astray(rosa, ben, tablets):
    """The control: signing that only looks beforehand binds what nobody was shown."""
    _, _, astray = sign_against_edits(rosa, ben, 60, bind_unguarded, tablets)
    assert astray > 0


def test_two_devices_signing_at_once_make_one_signature(rosa):
    for _ in range(4):
        row = quoted(rosa)
        fingerprint = Sheet.objects.get(consultation=row).fingerprint

        def sign(name, row=row, fingerprint=fingerprint):
            fresh = Consultation.objects.get(pk=row.pk)
            mine = sheets.Signer(
                name, strokes_from(STROKES), True, fingerprint, "127.0.0.1", "a test", rosa
            )
            return sheets.sign_sheet(fresh, sheets.current_sheet(fresh), signer=mine)

        outcomes = together([lambda name=name: sign(name) for name in ("Ann Okafor", "Bo Okafor")])
        kept = [outcome for outcome in outcomes if isinstance(outcome, Signature)]
        refused = [o for o in outcomes if isinstance(o, Overtaken | Settled | sheets.NotSigned)]
        assert (len(kept), len(refused)) == (1, 1), outcomes
        assert Signature.objects.filter(sheet__consultation=row).count() == 1
        row.refresh_from_db()
        assert row.record.filter(what="signed").count() == 1
        assert chain_is_whole(row)


def test_two_taps_on_make_the_sheet_make_one_sheet(rosa):
    row = make_consultation(rosa, guests=10, design=make_design((6,)))
    tap = reverse("consult:sheet", args=[row.pk])
    said = keys(row, once="one tap")
    answers = together([lambda: logged_in(rosa).post(tap, said).status_code] * 3)
    assert answers == [302] * 3
    assert Sheet.objects.count() == 1


# --- locks ---


def read_then_write(row, rounds, mode):
    """A worker that reads, thinks and writes in one transaction; how often the database was locked to it."""
    locked = 0
    connection.ensure_connection()
    if connection.vendor == "sqlite":
        connection.transaction_mode = mode
    for _ in range(rounds):
        try:
            with transaction.atomic():
                Consultation.objects.get(pk=row.pk)
                time.sleep(0.0005)
                consultations.set_need(
                    Consultation.objects.get(pk=row.pk), by=row.opened_by, seen=None,
                    need=Need(random.randint(1, 1999), "dessert"),
                )  # fmt: skip
        except OperationalError:
            locked += 1
    return locked


def test_four_workers_never_find_the_database_locked(rosa):
    row = make_consultation(rosa, design=make_design((6,)))
    mode = connection.transaction_mode if connection.vendor == "sqlite" else ""
    outcomes = together([lambda: read_then_write(row, 40, mode)] * 4)
    assert outcomes == [0] * 4
    assert chain_is_whole(row)


def test_with_transactions_that_start_by_reading_they_do(rosa):
    """The control, on SQLite: begun as readers, the same transactions fail to become writers."""
    row = make_consultation(rosa, design=make_design((6,)))
    outcomes = together([lambda: read_then_write(row, 40, "DEFERRED")] * 4)
    assert all(isinstance(outcome, int) for outcome in outcomes), outcomes
    assert sum(outcomes) > 0 or connection.vendor != "sqlite"
