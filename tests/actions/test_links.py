"""Private links: made once, kept as a hash, good for one purpose, dead when they should be."""

import re
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.core import serializers
from django.db import connection, transaction
from django.test import override_settings
from django.utils import timezone

from consult.actions import consultations, links, sending, sheets
from consult.actions.keeping import Overtaken, Seen
from consult.actions.links import Standing
from consult.core.design import Need
from consult.core.offered import offered
from consult.finding import consultation_at_hand
from consult.models import Consultation, DesignsSent, PrivateLink, Purpose, Signature, State
from consult.sending_pages import offer_of
from consult.steps.sheet import shown
from tests.consultations import make_consultation
from tests.makers import make_design

pytestmark = pytest.mark.django_db


def quoted(by, **fields):
    """A small cake with its sheet made, as the step makes it."""
    row = make_consultation(by, guests=10, design=make_design((6,)), **fields)
    at = consultation_at_hand(row.pk)
    sheet = shown(at)["sheet"]
    sheets.make_sheet(at.row, by=by, seen=Seen(at.row.revision), sheet=sheet, bench=())
    return at.row


def designs_sent(row, by, words="", to="ann@example.org"):
    at = consultation_at_hand(row.pk)
    value = offered(offer_of(at, ["A", "B", "C"]))
    return sending.send_designs(at.row, by=by, offered=value, words=words, to=to)


def sheet_sent(row, by, to="ann@example.org"):
    return sending.send_sheet(
        row, sheets.current_sheet(row), by=by, to=to, words="", today=timezone.localdate()
    )


def stands(token):
    return links.standing(links.find(token))


def test_a_token_is_256_bits_and_no_two_are_alike(rosa):
    # 256 bits in base 64 without its padding: 43 letters (RFC 4648, section 5)
    row = make_consultation(rosa)
    made = {links.make_link(row, Purpose.PAY, by=rosa) for _ in range(200)}
    assert len(made) == 200
    assert {bool(re.fullmatch(r"[A-Za-z0-9_-]{43}", token)) for token in made} == {True}


def test_only_its_hash_is_in_the_database(rosa):
    row = quoted(rosa)
    tokens = [designs_sent(make_consultation(rosa), rosa)[1], sheet_sent(row, rosa)]
    with connection.cursor() as cursor:
        everything = ""
        for table in connection.introspection.table_names():
            cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
            everything += repr(cursor.fetchall())
    assert "ann@example.org" in everything
    for token in tokens:
        assert links.token_digest(token) in everything
        assert token not in everything


def test_a_message_holds_its_link_covered_and_sends_it_whole(rosa):
    row = make_consultation(rosa)
    _, token = designs_sent(row, rosa)
    message = row.messages.get(kind="designs_to_choose")
    for form in (message.text, message.html):
        assert token not in form
        assert links.path_of(token) in links.uncovered(form)


def test_a_covered_link_is_sent_whole_after_the_key_was_changed(rosa):
    token = links.make_link(make_consultation(rosa), Purpose.PAY, by=rosa)
    with override_settings(SECRET_KEY="one key", SECRET_KEY_FALLBACKS=[]):
        covered = links.covered_path(token)
    with override_settings(SECRET_KEY="another", SECRET_KEY_FALLBACKS=["one key"]):
        assert links.uncovered(covered) == links.path_of(token)
    with override_settings(SECRET_KEY="another", SECRET_KEY_FALLBACKS=[]):
        assert links.uncovered(covered) == covered


def test_the_same_token_is_never_covered_alike(rosa):
    token = links.make_link(make_consultation(rosa), Purpose.PAY, by=rosa)
    assert links.covered_path(token) != links.covered_path(token)


def test_a_link_runs_out_after_two_weeks(rosa):
    row = make_consultation(rosa)
    link = links.find(designs_sent(row, rosa)[1])
    end = link.made_at + timedelta(days=14)
    assert link.expires_at == end
    assert links.standing(link, end - timedelta(seconds=1)) is Standing.OPEN
    assert links.standing(link, end) is Standing.EXPIRED


@pytest.mark.parametrize(("days_held", "days_open"), [(3, 3), (13, 13), (60, 14)])
def test_a_link_to_a_sheet_never_outlives_its_quote(days_held, days_open, rosa):
    row = quoted(rosa)
    sheet = sheets.current_sheet(row)
    today = timezone.localdate()
    sheet.body["holds_until"] = (today + timedelta(days=days_held)).isoformat()
    with transaction.atomic():
        token = links.make_link(row, Purpose.SHEET, by=rosa, sheet=sheet)
    ends = links.find(token).expires_at
    if days_open == 14:
        assert ends == links.find(token).made_at + timedelta(days=14)
    else:
        zone = ZoneInfo(row.book().identity.time_zone)
        night = datetime.combine(today + timedelta(days=days_open + 1), datetime.min.time(), zone)
        assert ends == night


def test_a_sheet_whose_quote_has_lapsed_is_not_sent(rosa):
    row = quoted(rosa)
    sheet = sheets.current_sheet(row)
    late = date.fromisoformat(sheet.body["holds_until"]) + timedelta(days=1)
    with pytest.raises(sending.NotSent, match="no longer holds"):
        sending.send_sheet(row, sheet, by=rosa, to="", words="", today=late)
    assert not PrivateLink.objects.exists()


def test_a_link_to_pay_is_open_until_two_weeks_after_the_event(rosa):
    row = make_consultation(rosa)
    link = links.find(links.make_link(row, Purpose.PAY, by=rosa))
    assert link.expires_at.date() - row.event_on == timedelta(days=15)  # the midnight that ends it


def test_one_of_two_links_is_revoked_and_the_other_stands(rosa):
    row = quoted(rosa)
    first, second = sheet_sent(row, rosa), sheet_sent(row, rosa)
    assert links.kill(links.find(first), by=rosa) is True
    assert links.kill(links.find(first), by=rosa) is False
    assert (stands(first), stands(second)) == (Standing.REVOKED, Standing.OPEN)
    assert row.record.filter(what="link revoked").count() == 1


def test_a_sheet_that_was_changed_or_made_anew_ends_its_link(rosa):
    row = quoted(rosa)
    token = sheet_sent(row, rosa)
    assert stands(token) is Standing.OPEN
    consultations.set_need(row, by=rosa, seen=Seen(row.revision), need=Need(12, "dessert"))
    assert stands(token) is Standing.OVERTAKEN


def test_designs_end_when_newer_ones_are_sent(rosa):
    row = make_consultation(rosa)
    earlier, later = designs_sent(row, rosa)[1], designs_sent(row, rosa)[1]
    assert (stands(earlier), stands(later)) == (Standing.OVERTAKEN, Standing.OPEN)
    assert DesignsSent.objects.count() == 2


@pytest.mark.parametrize("state", [State.DECLINED, State.CANCELLED, State.SIGNED])
def test_designs_and_sheets_end_with_the_consultation(state, rosa):
    row = quoted(rosa)
    tokens = [designs_sent(row, rosa)[1], sheet_sent(row, rosa)]
    Consultation.objects.filter(pk=row.pk).update(state=state)
    assert {stands(token) for token in tokens} == {Standing.OVERTAKEN}


def test_designs_sent_from_what_somebody_changed_meanwhile_are_not_sent(rosa):
    at = consultation_at_hand(make_consultation(rosa).pk)
    value = offered(offer_of(at, ["A"]))
    Consultation.objects.filter(pk=at.row.pk).update(revision=7)
    with pytest.raises(Overtaken):
        sending.send_designs(at.row, by=rosa, offered=value, words="", to="")
    assert not DesignsSent.objects.exists()


def test_a_link_is_good_for_its_own_purpose_only(rosa):
    row = make_consultation(rosa)
    link = links.find(designs_sent(row, rosa)[1])
    with transaction.atomic():
        assert links.check(link, Purpose.DESIGNS) == link
        for other in (Purpose.SHEET, Purpose.PAY):
            with pytest.raises(links.Dead):
                links.check(link, other)


def test_nothing_to_pay_is_sent_before_anything_is_signed(rosa):
    with pytest.raises(sending.NotSent, match="Nothing is signed"):
        sending.send_to_pay(quoted(rosa), by=rosa, to="", words="")
    assert not Signature.objects.exists()


def test_what_was_sent_stays_as_it_was_sent(rosa):
    row = make_consultation(rosa)
    sent, _ = designs_sent(row, rosa)
    kept = serializers.serialize("json", [sent])
    row.refresh_from_db()
    consultations.set_need(row, by=rosa, seen=Seen(row.revision), need=Need(40, "dessert"))
    assert serializers.serialize("json", [DesignsSent.objects.get()]) == kept
