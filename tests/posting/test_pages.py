"""Does the shop see what went to whom, without the secrets in it, and can it hold back, try again and send anew?"""

import pytest
from django.urls import reverse

from consult import store
from consult.actions import outbox
from consult.actions.links import make_link, path_of
from consult.actions.sending import link_in_message
from consult.calendar_file import hand_over_file
from consult.models import Message, Purpose
from consult.posting.carrying import into_folder
from tests.consultations import make_consultation
from tests.posting.mail_catcher import mail_catcher
from tests.posting.test_carrying import sent_to, shop, waiting
from tests.steps.test_signing import mark, quoted

__all__ = ["shop"]
pytestmark = pytest.mark.django_db


def page_of(browser, message):
    return browser.get(reverse("consult:message", args=[message.pk])).content.decode()


def press(browser, message, act):
    url = reverse("consult:message", args=[message.pk])
    answer = browser.post(url, {"act": act}, follow=True)
    message.refresh_from_db()
    return answer.content.decode()


def test_the_list_shows_each_message_with_its_state_and_where_it_lies(as_ben, settings):
    waiting()
    waiting(state="failed", subject="Not this one", trouble="550 no such user")
    page = as_ben.get(reverse("consult:post")).content.decode()
    assert "No e-mail is set up on this computer" in page
    assert page.index("Not this one") < page.index("Your signed copy")
    assert "550 no such user" in page
    assert "ann@example.org" in page
    failed = as_ben.get(reverse("consult:post"), {"state": "failed"}).content.decode()
    assert "Your signed copy</a>" not in failed
    with mail_catcher() as catcher:
        settings.MAIL_SERVER = catcher.as_server()
        assert "No e-mail is set" not in as_ben.get(reverse("consult:post")).content.decode()


@pytest.mark.parametrize("page", ["0", "-1", "x", "²", "9" * 30, "2"])
def test_a_page_of_the_list_that_is_not_there_is_empty_and_no_fault(as_ben, page):
    assert as_ben.get(reverse("consult:post"), {"page": page}).status_code == 200


def test_a_long_list_is_turned_page_by_page(as_ben):
    for at in range(51):
        waiting(subject=f"copy {at}")
    first = as_ben.get(reverse("consult:post")).content.decode()
    assert "copy 1<" in first
    assert "copy 0<" not in first
    second = as_ben.get(reverse("consult:post"), {"page": 2}).content.decode()
    assert "copy 0<" in second
    assert "copy 1<" not in second


def test_a_waiting_message_is_held_back_and_let_go(rosa, as_rosa):
    message = waiting(consultation=make_consultation(rosa))
    assert "held back until you let it go" in press(as_rosa, message, "hold back")
    assert message.state == "held"
    assert outbox.claim() is None
    press(as_rosa, message, "let go")
    assert outbox.claim().pk == message.pk
    assert "is being sent just now" in press(as_rosa, message, "hold back")
    assert message.state == "waiting"
    assert [e.says for e in message.consultation.record.filter(what="post")] == [
        "Message held back: signed copy",
        "Message let go: signed copy",
    ]


def test_a_failed_message_is_tried_again_from_the_start(as_rosa):
    message = waiting(state="failed", tries=20, trouble="Given up")
    press(as_rosa, message, "let go")
    assert (message.state, message.tries, message.trouble) == ("waiting", 0, "")
    nobody = waiting(state="failed", to="nobody")
    assert "no e-mail address" in press(as_rosa, nobody, "let go")
    assert nobody.state == "failed"


def test_a_sent_message_is_sent_anew_under_an_id_of_its_own(as_rosa):
    message = waiting()
    with mail_catcher() as catcher:
        outbox.send_waiting("smtp", sent_to(catcher))
        press(as_rosa, message, "send anew")
        assert outbox.send_waiting("smtp", sent_to(catcher)) == 1
        first, second = catcher.messages
    assert first["Message-ID"] != second["Message-ID"]
    assert first.get_body(("plain",)).get_content() == second.get_body(("plain",)).get_content()


def test_a_wiped_link_is_not_sent_anew_and_the_page_says_what_to_do(rosa, as_rosa):
    row = make_consultation(rosa)
    link = link_in_message(make_link(row, Purpose.PAY, by=rosa))
    message = waiting(consultation=row, text=f"Go: {link}", html="")
    before = page_of(as_rosa, message)
    assert link not in before
    assert "•••" in before
    with mail_catcher() as catcher:
        outbox.send_waiting("smtp", sent_to(catcher))
    message.refresh_from_db()
    assert "To send the client a link again, make a new one" in page_of(as_rosa, message)
    assert "was wiped when it was sent" in press(as_rosa, message, "send anew")
    assert Message.objects.count() == 1


def test_what_lies_in_the_folder_can_be_printed_whole_and_sent_once_e_mail_is_set(rosa, as_ben):
    row = make_consultation(rosa)
    token = make_link(row, Purpose.PAY, by=rosa)
    message = waiting(consultation=row, text=f"Go: {link_in_message(token)}\n", html="")
    outbox.send_waiting("folder", into_folder)
    message.refresh_from_db()
    assert path_of(token) not in page_of(as_ben, message)
    paper = as_ben.get(reverse("consult:message_print", args=[message.pk])).content.decode()
    assert path_of(token) in paper
    with mail_catcher() as catcher:
        press(as_ben, message, "send anew")
        outbox.send_waiting("smtp", sent_to(catcher))
        assert path_of(token) in catcher.messages[0].get_content()


def test_what_a_client_typed_does_nothing_on_the_page(as_rosa):
    message = waiting(subject="<script>x</script>", text="<img src=x onerror=y>")
    for page in (page_of(as_rosa, message), as_rosa.get(reverse("consult:post")).content.decode()):
        assert "<script>x" not in page
        assert "<img src=x" not in page


def test_signing_sends_both_sides_their_copy_and_the_client_the_hand_over(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    as_rosa.post(reverse("consult:signing", args=[row.pk]), mark())
    row.refresh_from_db()
    copies = row.messages.filter(kind="signed_copy")
    assert {copy.to for copy in copies} == {"ann@example.org", row.book().identity.email}
    for copy in copies:
        (calendar,) = [each for each in copy.attached if each["type"] == "text/calendar"]
        assert store.fetch(calendar["sha256"]) == hand_over_file(row)
        assert b"STATUS:CONFIRMED" in hand_over_file(row)


def test_an_attached_paper_opens_and_no_other_does(as_ben):
    sha256 = store.keep(b"%PDF-1.7")
    message = waiting(attached=[{"name": 'a"b.pdf', "type": "application/pdf", "sha256": sha256}])
    answer = as_ben.get(reverse("consult:message_paper", args=[message.pk, 0]))
    assert answer.content == b"%PDF-1.7"
    assert answer["Content-Disposition"] == 'inline; filename="a_b.pdf"'
    assert as_ben.get(reverse("consult:message_paper", args=[message.pk, 1])).status_code == 404


def test_the_overview_shows_the_messages_and_the_calendar_file(rosa, as_rosa):
    row = make_consultation(rosa)
    message = waiting(consultation=row)
    page = as_rosa.get(reverse("consult:overview", args=[row.pk])).content.decode()
    assert reverse("consult:message", args=[message.pk]) in page
    assert reverse("consult:hand_over_calendar", args=[row.pk]) in page
