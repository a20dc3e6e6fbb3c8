"""Can anybody sign what they did not see, twice, or by a dead link? And what does a link give away?

Each race has a control with its guard off, which must show the fault, or the test would be blind.
"""

import random
import re
import threading
import time
from datetime import timedelta

import pytest
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from consult.actions import links, sheets
from consult.actions.keeping import Overtaken, Settled, move_on
from consult.models import Consultation, Entry, PrivateLink, Purpose, Sheet, Signature, State
from tests.actions.test_links import designs_sent, quoted, sheet_sent
from tests.client_pages.at_home import DESIGNS, PAY, SHEET, mark, opened
from tests.consultations import make_consultation
from tests.trust.access import ACCESS, BY_LINK
from tests.trust.stage import addresses
from tests.trust.together import together

ROUNDS = 1_000
A_HEAT = 200  # rounds that a slow machine gets through within together's patience
REFUSED = (Overtaken, Settled, links.Dead)


def signature_by(link, sheet):
    now = timezone.now()
    return Signature(
        sheet=sheet, name="Ann Okafor", how="typed by private link", consent="yes", signed_at=now,
        signed_at_local=str(now), link=link, fingerprint=sheet.fingerprint, pdf_sha256=sheet.pdf_sha256,
    )  # fmt: skip


def bind_unguarded(consultation, signature):
    """Signing that looks first whether the link and the sheet stand, and then binds whatever is there."""
    if links.standing(PrivateLink.objects.get(pk=signature.link_id)) is not links.Standing.OPEN:
        raise links.Dead
    time.sleep(0.002)
    with transaction.atomic():
        move_on(
            consultation, by=None, seen=None, what="signed", says="signed",
            while_in=(State.QUOTED, State.SIGNED), state=State.SIGNED,
        )  # fmt: skip
        if not Signature.objects.filter(sheet=signature.sheet).exists():
            signature.save()


def races(row, rosa, rounds):
    """So many quoted consultations like that one, each with its sheet and two links to it, made in a few statements."""
    like = Sheet.objects.get(consultation=row)
    row = Consultation.objects.get(pk=row.pk)
    first, now = Consultation.objects.count(), timezone.now()
    fields = {
        field.attname: getattr(row, field.attname)
        for field in Consultation._meta.concrete_fields
        if field.attname not in ("id", "number")
    }
    rows = Consultation.objects.bulk_create(
        Consultation(number=f"2026-{first + place:05d}", **fields) for place in range(rounds)
    )
    found = Sheet.objects.bulk_create(
        Sheet(
            consultation=one, revision=1, letter="A", of_revision=one.revision, body=like.body, bench=[],
            fingerprint=like.fingerprint, pdf_sha256=like.pdf_sha256, made_at=now, made_by=rosa,
        )
        for one in rows
    )  # fmt: skip
    ways = PrivateLink.objects.bulk_create(
        PrivateLink(
            consultation=sheet.consultation, purpose=Purpose.SHEET, sheet=sheet, made_by=rosa, made_at=now,
            token_sha256=links.token_digest(f"{sheet.pk} {side}"), expires_at=now + timedelta(days=1),
        )
        for sheet in found
        for side in "ab"
    )  # fmt: skip
    return [(sheet, ways[2 * place], ways[2 * place + 1]) for place, sheet in enumerate(found)]


def heat(rounds, *acts):
    """Devices that start each round at nearly the same instant; each act's outcomes, a refusal as what was raised.

    That a change is on the disk is no matter here, so nobody waits for it.
    """
    meet = threading.Barrier(len(acts))

    def device(act, seed):
        chance, said = random.Random(seed), []
        if connection.vendor == "sqlite":
            with connection.cursor() as cursor:
                cursor.execute("PRAGMA synchronous=OFF")
        for one in rounds:
            meet.wait(60)
            time.sleep(chance.random() * 0.004)
            said.append(ending_in_refusal(act)(*one))
        return said

    told = together([lambda act=act, n=n: device(act, n) for n, act in enumerate(acts)])
    for each in told:
        if isinstance(each, Exception):
            raise each
    return told


def ending_in_refusal(act):
    def acted(*given):
        try:
            return act(*given)
        except REFUSED as refused:
            return refused

    return acted


def signing_by(bind, place):
    """A client's page that was open before, by the first or the second link: it binds the sheet it showed."""

    def act(sheet, *ways):
        row = Consultation.objects.get(pk=sheet.consultation_id)
        bind(row, signature_by(ways[place], sheet))
        return "signed"

    return act


def at_the_shop(by):
    """The shop revokes the first link and changes the design, one after the other in either order."""

    @transaction.atomic
    def change(sheet):
        row = Consultation.objects.get(pk=sheet.consultation_id)
        move_on(
            row, by=by, seen=None, what="need", says="12 guests", while_in=(State.QUOTED,),
            guests=12, is_change=True,
        )  # fmt: skip

    def act(sheet, first, _):
        steps = [lambda: links.kill(first, by=by), lambda: change(sheet)]
        for step in steps if sheet.pk % 2 else reversed(steps):
            ending_in_refusal(step)()

    return act


def lines(what):
    """Where in its record each consultation has a line of that kind; the last, if it has several."""
    rows = Entry.objects.filter(what=what).order_by("place")
    return dict(rows.values_list("consultation", "place"))


def faults_of(rosa, rounds, bind):
    """A sheet is signed by two links at once while the shop revokes one of them and changes the design.

    Gives how often it was signed, and the faults: by a dead link, after a change nobody was shown, twice.
    """
    these, left, right = races(quoted(rosa), rosa, rounds), [], []
    for start in range(0, rounds, A_HEAT):
        one = these[start : start + A_HEAT]
        said = heat(one, signing_by(bind, 0), signing_by(bind, 1), at_the_shop(rosa))
        left, right = left + said[0], right + said[1]
    told = [one for one in left + right if one == "signed"]
    signed, revoked, changed = lines("signed"), lines("link revoked"), lines("need")
    by_first = set(
        Signature.objects.filter(link__in=_first_links()).values_list(
            "sheet__consultation", flat=True
        )
    )
    dead = sum(signed[row] > revoked[row] for row in by_first if row in revoked)
    unseen = sum(place > changed[row] for row, place in signed.items() if row in changed)
    twice = len(told) - Signature.objects.count()
    assert Entry.objects.filter(what="signed").count() == len(told)
    assert len(revoked) == rounds
    won = (left.count("signed"), right.count("signed"), len(changed))
    return won, (dead, unseen, twice)


def _first_links():
    return PrivateLink.objects.filter(revoked_at__isnull=False)


@pytest.mark.django_db(transaction=True)
def test_in_a_thousand_races_nothing_is_signed_unseen_twice_or_by_a_dead_link(rosa):
    won, faults = faults_of(rosa, ROUNDS, sheets.bind)
    assert min(won) > 10, f"one of them never was first: {won}"
    assert faults == (0, 0, 0)


@pytest.mark.django_db(transaction=True)
def test_looking_only_beforehand_all_three_faults_are_seen(rosa):
    """The control: whether the link and the sheet stand is looked at, and then the sheet is bound."""
    _, faults = faults_of(rosa, 150, bind_unguarded)
    assert min(faults) > 0, faults


# --- who gets in ---


@pytest.mark.django_db
def test_a_browser_with_a_link_opens_its_own_purpose_and_nothing_else(rosa):
    row = quoted(rosa)
    pages = {"designs": DESIGNS, "sheet": SHEET, "pay": PAY}
    browsers = {
        "designs": opened(designs_sent(row, rosa)[1]),
        "sheet": opened(sheet_sent(row, rosa)),
    }
    for purpose, browser in browsers.items():
        for name, page in pages.items():
            wanted = 200 if name == purpose else 404
            assert browser.get(page).status_code == wanted, (purpose, name)
    closed = [
        address
        for address in addresses()
        if ACCESS[address.name][0] not in ("everybody", BY_LINK) and not address.takes
    ]
    assert len(closed) > 20
    for browser in browsers.values():
        for address in closed:
            answer = browser.get(reverse(address.name))
            assert answer.status_code in (302, 405), address.name
            assert answer.headers.get("Location", "/log-in/").startswith("/log-in/"), address.name
        for name in ("overview", "signing", "deposit", "record", "tiers"):
            answer = browser.get(reverse(f"consult:{name}", args=[row.pk]))
            assert answer["Location"].startswith("/log-in/"), name


@pytest.mark.django_db
def test_a_handed_over_tablet_opens_no_link(rosa, as_rosa):
    row = quoted(rosa)
    token = sheet_sent(quoted(rosa, client_name="Quilla Marsh"), rosa)
    opened(token, as_rosa)
    as_rosa.post(reverse("consult:hand_over", args=[row.pk]))
    here = reverse("consult:signing", args=[row.pk])
    for page in (links.path_of(token), SHEET, DESIGNS, PAY):
        for answer in (as_rosa.get(page), as_rosa.post(page)):
            assert (answer.status_code, answer.headers.get("Location")) == (302, here), page


# --- what a dead link gives away ---


def dead_links(rosa):
    """One path for each way a link can be dead."""
    row = quoted(rosa)
    tokens = {name: sheet_sent(row, rosa) for name in ("expired", "revoked", "cancelled")}
    found = {name: links.find(token) for name, token in tokens.items()}
    PrivateLink.objects.filter(pk=found["expired"].pk).update(expires_at=timezone.now())
    links.kill(found["revoked"], by=rosa)
    other = quoted(rosa)
    tokens["overtaken"] = sheet_sent(other, rosa)
    Consultation.objects.filter(pk=other.pk).update(state=State.CANCELLED)
    tokens.pop("cancelled")
    tokens["unknown"] = "A" * 43
    tokens["short"] = "x"
    return {name: links.path_of(token) for name, token in tokens.items()}


@pytest.mark.django_db
def test_dead_links_answer_alike_to_the_byte(rosa):
    said = {
        name: (
            answer.status_code,
            answer.content,
            sorted(answer.headers.items()),
            dict(answer.cookies),
        )
        for name, path in dead_links(rosa).items()
        for answer in [Client(REMOTE_ADDR="192.0.2.7").get(path)]
    }
    assert said["unknown"][0] == 404
    assert b"This link no longer opens anything" in said["unknown"][1]
    for name in said:
        assert said[name] == said["unknown"], name


@pytest.mark.django_db
def test_unknown_expired_and_revoked_links_take_the_same_work(rosa):
    """The same statements to the database, so that the time tells as little as the page."""
    paths = dead_links(rosa)
    asked = {}
    for name in ("unknown", "expired", "revoked"):
        Client().get(paths[name])  # the first count of a minute clears old ones away
        with CaptureQueriesContext(connection) as queries:
            Client().get(paths[name])
        asked[name] = [re.sub(r"'[^']*'|\d+", "?", query["sql"]) for query in queries]
    assert asked["expired"] == asked["revoked"] == asked["unknown"]
    assert len(asked["unknown"]) > 1


@pytest.mark.django_db
def test_guessing_is_slowed_down_and_stops_nobody_who_has_a_link(rosa):
    token = designs_sent(make_consultation(rosa), rosa)[1]
    thief = Client(REMOTE_ADDR="192.0.2.7")
    answers = [thief.get(f"/for-you/{'A' * 40}{place:03}/").status_code for place in range(40)]
    assert set(answers[:25]) == {404}
    assert answers[-1] == 429
    forged = thief.get("/for-you/guess/", headers={"x-forwarded-for": "198.51.100.9"})
    assert forged.status_code == 429
    assert Client(REMOTE_ADDR="198.51.100.1").get("/for-you/guess/").status_code == 404
    assert thief.get(links.path_of(token)).status_code == 303


@pytest.mark.django_db
def test_no_token_reaches_a_log(rosa, caplog, capsys):
    """Through the shop's own handler, as its terminal shows it."""
    import logging.config  # the shop's handler is set up anew, on the stream that this test reads

    from django.conf import settings  # as above

    row = quoted(rosa)
    token, dead = sheet_sent(row, rosa), sheet_sent(row, rosa)
    links.kill(links.find(dead), by=rosa)
    logging.config.dictConfig(
        {**settings.LOGGING, "root": {"handlers": ["console"], "level": "DEBUG"}}
    )
    try:
        browser = opened(token)
        browser.get(SHEET)
        browser.post(SHEET, mark(row, PrivateLink.objects.earliest("pk"), name=""))
        Client().get(links.path_of(dead))
        logging.getLogger("django.request").error("Internal Server Error: %s", links.path_of(token))
        said = capsys.readouterr().err
    finally:
        logging.config.dictConfig(settings.LOGGING)
    assert "Not Found: /for-you/(covered)/" in said
    assert "Internal Server Error: /for-you/(covered)/" in said
    for secret in (token, dead):
        assert secret not in said
