"""Does a message leave by SMTP whole, are a server's refusals said in words, and does the folder keep it?"""

import re

import pytest
from django.utils import timezone

from consult import store
from consult.actions import outbox
from consult.actions.links import make_link, path_of
from consult.actions.sending import link_in_message
from consult.models import Message, Purpose
from consult.posting import carrying
from consult.posting.carrying import NotNow, Refused, by_smtp, from_folder, into_folder, letter
from shop.actions import take_in_book
from shop.mail_server import MailServer
from shop.sample_setup import sample_book
from tests.consultations import make_consultation
from tests.posting.mail_catcher import mail_catcher

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop(db):
    return take_in_book(sample_book(), is_sample=True)


def waiting(**fields):
    now = timezone.now()
    return Message.objects.create(
        **{
            "kind": "signed_copy",
            "to": "ann@example.org",
            "subject": "Your signed copy",
            "text": "Dear Ann,\n\n.a line that begins with a dot\n" + "long " * 300 + "\n",
            "html": "<!doctype html><p>Dear Ann,</p>",
            "message_id": f"<{Message.objects.count()}@hollin.example>",
            "due_at": now,
            "made_at": now,
            **fields,
        }
    )


def sent_to(catcher):
    return lambda message: by_smtp(message, catcher.as_server())


def test_a_message_goes_out_whole(shop):
    paper = {
        "name": "Größe.pdf",
        "type": "application/pdf",
        "sha256": store.keep(b"%PDF-1.7\n\x00"),
    }
    message = waiting(
        subject="Your copy: Zoë’s cake 🎂, " + "very " * 20 + "good", attached=[paper]
    )
    with mail_catcher() as catcher:
        assert outbox.send_waiting("smtp", sent_to(catcher)) == 1
        (got,) = catcher.messages
        raw = catcher.taken[0]
    assert got["Subject"] == message.subject
    assert got["To"] == "ann@example.org"
    assert got["From"].addresses[0].addr_spec == shop.email
    assert got["From"].addresses[0].display_name == shop.name
    assert got["Message-ID"] == message.message_id
    assert got["Auto-Submitted"] == "auto-generated"
    assert got["Date"].datetime == message.made_at.replace(microsecond=0)
    plain = got.get_body(("plain",)).get_content()
    assert plain.replace("\r\n", "\n") == message.text
    assert got.get_body(("html",)).get_content().strip() == message.html
    (file,) = got.iter_attachments()
    assert (file.get_filename(), file.get_content_type()) == ("Größe.pdf", "application/pdf")
    assert file.get_content() == b"%PDF-1.7\n\x00"
    assert raw.isascii()
    # RFC 5322, 2.1.1: no line over 998 letters; it should not be over 78.
    assert max(map(len, raw.split(b"\r\n"))) <= 78
    message.refresh_from_db()
    assert (message.state, message.went_by, message.trouble) == ("sent", "smtp", "")


def test_a_user_logs_in_and_a_bad_farewell_is_no_trouble():
    with mail_catcher(QUIT="500 what") as catcher:
        by_smtp(waiting(), catcher.as_server(user="shop", password="secret"))
        assert catcher.logged_in == ["AHNob3AAc2VjcmV0"]  # RFC 4616: NUL shop NUL secret
        assert len(catcher.taken) == 1


@pytest.mark.parametrize(
    ("told", "kind", "words"),
    [
        ({"RCPT": "550 no such user"}, Refused, "does not take this address: 550 no such user"),
        ({"RCPT": "451 greylisted"}, NotNow, "try later: 451 greylisted"),
        ({"DATA": "after 554 spam"}, Refused, "refused the message: 554 spam"),
        ({"DATA": "after 452 full"}, NotNow, "try later: 452 full"),
        ({"DATA": "after drop"}, NotNow, "broke off"),
        ({"RCPT": "drop"}, NotNow, "broke off"),
        ({"MAIL": "553 not yours"}, NotNow, "does not take messages from us: 553 not yours"),
        ({"greeting": "554 go away"}, NotNow, "does not take messages from us: 554 go away"),
        ({"greeting": "silence", "for": 2}, NotNow, "did not answer in time"),
        ({"AUTH": "535 wrong"}, NotNow, "user name or password: 535 wrong"),
    ],
)
def test_each_trouble_is_told_apart_and_said_in_words(told, kind, words):
    with mail_catcher(**told) as catcher, pytest.raises(kind, match=words):
        by_smtp(waiting(), catcher.as_server(timeout=0.5, user="u" if "AUTH" in told else ""))


def test_a_server_that_is_not_there_or_cannot_secure_the_line_is_said_in_words():
    with mail_catcher() as catcher:
        port = catcher.server_address[1]
        with pytest.raises(NotNow, match="cannot secure the line"):
            by_smtp(waiting(), MailServer("127.0.0.1", port, "starttls", timeout=2))
    with pytest.raises(NotNow, match="cannot be reached"):
        by_smtp(waiting(), MailServer("127.0.0.1", port, "none", timeout=2))


def test_a_passing_trouble_is_tried_again_later_and_goes_out_then():
    message = waiting()
    with mail_catcher(RCPT="451 greylisted") as catcher:
        assert outbox.send_waiting("smtp", sent_to(catcher)) == 0
        message.refresh_from_db()
        assert (message.state, message.tries, message.leased_until) == ("waiting", 1, None)
        assert "451 greylisted" in message.trouble
        assert 55 <= (message.due_at - timezone.now()).total_seconds() <= 60
        assert outbox.send_waiting("smtp", sent_to(catcher)) == 0  # not before it is due
        message.refresh_from_db()
        assert message.tries == 1
        catcher.told.clear()
        Message.objects.update(due_at=timezone.now())
        assert outbox.send_waiting("smtp", sent_to(catcher)) == 1
        assert len(catcher.taken) == 1


def test_a_refused_address_fails_at_once_and_stops_no_other(caplog):
    bad = waiting(to="gone@example.org")
    with mail_catcher(RCPT="550 gone@example.org unknown") as catcher:
        outbox.send_waiting("smtp", sent_to(catcher))
        catcher.told.clear()
        good = waiting()
        assert outbox.send_waiting("smtp", sent_to(catcher)) == 1
    bad.refresh_from_db()
    good.refresh_from_db()
    assert (bad.state, good.state) == ("failed", "sent")
    assert "550" in bad.trouble
    assert "gone@" not in caplog.text


def test_the_wait_doubles_up_to_two_hours_and_ends_after_more_than_a_day():
    minutes = [outbox.wait_after(tries).total_seconds() / 60 for tries in range(1, 21)]
    assert minutes == [1, 2, 4, 8, 16, 32, 64] + [120] * 13
    assert 24 < sum(minutes[:-1]) / 60 < 48


def test_after_the_last_try_it_is_given_up_in_words():
    message = waiting(tries=outbox.MOST_TRIES - 1)
    with mail_catcher(RCPT="451 later") as catcher:
        outbox.send_waiting("smtp", sent_to(catcher))
    message.refresh_from_db()
    assert message.state == "failed"
    assert message.trouble.startswith("Given up after 20 tries. The mail server asks to try later")


def test_a_missing_paper_is_never_left_out_in_silence():
    message = waiting(attached=[{"name": "x.pdf", "type": "application/pdf", "sha256": "0" * 64}])
    with pytest.raises(Refused, match=r"missing: x\.pdf"):
        letter(message)


def test_no_field_of_a_message_begins_another_header(shop):
    shop.name = "Hollin\r\nBcc: all@example.org"
    shop.save()
    made = letter(waiting()).as_bytes()
    assert not re.search(rb"^Bcc:", made, re.M)
    with pytest.raises(ValueError, match="linefeed"):
        letter(waiting(subject="a\r\nBcc: all@example.org"))


def test_a_private_link_is_whole_as_it_leaves_and_wiped_where_it_lay(rosa, caplog):
    row = make_consultation(rosa)
    token = make_link(row, Purpose.PAY, by=rosa)
    link = link_in_message(token)
    message = waiting(consultation=row, text=f"Go:\n{link}\n", html=f'<a href="{link}">Go</a>')
    assert token not in message.text
    assert outbox.send_waiting("folder", into_folder) == 1
    text, html = from_folder(message)
    assert path_of(token) in text
    assert f'{path_of(token)}">Go' in html
    message.refresh_from_db()
    assert (message.state, message.went_by) == ("sent", "folder")
    for kept in (message.text, message.html):
        assert "/for-you/covered/•••/" in kept
        assert link not in kept
    assert token not in caplog.text
    last = row.record.last()
    assert last.says == "Message put into the folder: signed copy"
    assert "example.org" not in last.says


def test_the_folder_keeps_one_file_a_message_for_the_shop_alone(settings):
    message = waiting()
    into_folder(message)
    into_folder(message)
    (file,) = settings.POST_FOLDER.iterdir()
    assert file == carrying.file_of(message)
    assert file.stat().st_mode & 0o777 == 0o600
    assert settings.POST_FOLDER.stat().st_mode & 0o777 == 0o700
    assert "ann" not in file.name
    assert from_folder(message)[0] == message.text


def test_without_a_server_the_folder_is_used_and_with_one_smtp(settings):
    settings.MAIL_SERVER = None
    assert carrying.carrier() == ("folder", into_folder)
    with mail_catcher() as catcher:
        settings.MAIL_SERVER = catcher.as_server()
        went_by, carry = carrying.carrier()
        carry(waiting())
        assert (went_by, len(catcher.taken)) == ("smtp", 1)
