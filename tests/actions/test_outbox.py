"""Is each message sent once, however many workers there are, and is none lost when one is killed?

The race has a control with the guard off, which must show messages sent twice, or the test would be blind.
"""

import threading
import time
from collections import Counter
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.utils import timezone

from consult.actions import outbox
from consult.models import Message
from tests.trust.together import together

pytestmark = pytest.mark.django_db(transaction=True)


def waiting(number):
    now = timezone.now()
    return Message.objects.bulk_create(
        Message(
            kind="signed_copy", to="ann@example.org", subject=f"{at}", text=f"message {at}",
            message_id=f"<{at}@hollin.example>", due_at=now, made_at=now,
        )
        for at in range(number)
    )  # fmt: skip


def sent_by_eight(claim):
    """What eight workers send, each until it finds nothing more."""
    sent, lock = Counter(), threading.Lock()

    def work():
        while (message := claim()) is not None:
            with lock:
                sent[message.message_id] += 1
            outbox.mark_sent(message, "smtp")

    outcomes = together([work] * 8)
    assert outcomes == [None] * 8
    return sent


def test_eight_workers_send_each_of_fifty_messages_once():
    waiting(50)
    sent = sent_by_eight(outbox.claim)
    assert len(sent) == 50
    assert set(sent.values()) == {1}
    assert set(Message.objects.values_list("state", "tries")) == {("sent", 1)}


def test_without_the_guard_the_same_workers_send_some_twice():
    """The control: reads which is next, then takes it whatever became of it in between."""

    def claim_unguarded():
        row = Message.objects.filter(state="waiting", leased_until=None).order_by("pk").first()
        if row is None:
            return None
        time.sleep(0.002)
        row.leased_until = timezone.now() + outbox.LEASE
        row.save(update_fields=["leased_until"])
        return row

    waiting(50)
    sent = sent_by_eight(claim_unguarded)
    assert len(sent) == 50
    assert max(sent.values()) > 1


def test_killed_between_sending_and_marking_it_goes_once_more_under_the_same_id():
    waiting(1)
    taken = outbox.claim()
    now = timezone.now()
    assert outbox.claim(now + timedelta(minutes=4)) is None
    again = outbox.claim(now + timedelta(minutes=6))
    assert again.message_id == taken.message_id
    assert again.tries == 2
    # The first worker was only slow: what it says now no longer counts, and nothing is marked twice.
    outbox.mark_trouble(taken, "late", for_good=True)
    outbox.mark_sent(taken, "smtp")
    assert Message.objects.get().state == "waiting"
    outbox.mark_sent(again, "smtp")
    assert Message.objects.get().state == "sent"


def test_one_that_kills_its_worker_each_time_is_given_up():
    waiting(1)
    now = timezone.now()
    for at in range(outbox.MOST_TRIES):
        assert outbox.claim(now + at * timedelta(minutes=6)) is not None
    assert outbox.claim(now + timedelta(days=1)) is None
    assert Message.objects.get().state == "failed"


def test_a_fault_in_one_message_stops_no_other_and_names_nobody(caplog):
    waiting(3)

    def carry(message):
        if message.subject == "1":
            raise RuntimeError("ann@example.org")

    assert outbox.send_waiting("smtp", carry) == 2
    assert sorted(Message.objects.values_list("state", "trouble")) == [
        ("sent", ""),
        ("sent", ""),
        ("waiting", "It cannot be sent as it is (RuntimeError)."),
    ]
    assert "ann@example.org" not in caplog.text


def test_the_command_puts_all_that_waits_into_the_folder(settings, capsys):
    call_command("sample_shop", verbosity=0)
    waiting(3)
    call_command("post")
    assert capsys.readouterr().out == "3 put into the folder.\n"
    assert len(list(settings.POST_FOLDER.iterdir())) == 3
    call_command("post")
    assert capsys.readouterr().out == "0 put into the folder.\n"
