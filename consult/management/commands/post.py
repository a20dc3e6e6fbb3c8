"""What waits to go out? Sends it, and writes the reminders that are due."""

import contextlib
import logging
import os
import signal
import sys
import threading
import time

from django.core.management.base import BaseCommand
from django.db import DatabaseError, close_old_connections, connection

from consult.actions.outbox import send_waiting
from consult.actions.reminders import write_reminders
from consult.actions.sweeping import sweep
from consult.posting.carrying import carrier
from shop.models import Shop

log = logging.getLogger(__name__)
EVERY = 5  # seconds between two looks into the outbox; each is one small query
REMIND_EVERY = 20 * 60  # seconds


class Command(BaseCommand):
    help = "Send the messages that wait, by SMTP as set or into the folder; write the reminders that are due."

    def add_arguments(self, parser):
        parser.add_argument("--watch", action="store_true", help="keep on until it is stopped")
        parser.add_argument(
            "--beside",
            action="store_true",
            help="with --watch: end with the process that started it",
        )

    def handle(self, *, watch, beside, **options):
        if not watch:
            went_by, sent = self.one_round()
            if options["verbosity"]:
                self.stdout.write(
                    f"{sent} sent." if went_by == "smtp" else f"{sent} put into the folder."
                )
            return
        ended = threading.Event()
        for sign in (signal.SIGTERM, signal.SIGINT):
            signal.signal(sign, lambda *_: ended.set())
        if beside:
            threading.Thread(target=self.await_end, args=[ended], daemon=True).start()
        parent, reminded = os.getppid(), -REMIND_EVERY
        while not ended.is_set() and not (beside and os.getppid() != parent):
            try:
                close_old_connections()
                remind = time.monotonic() - reminded >= REMIND_EVERY
                self.one_round(remind=remind)
                reminded = time.monotonic() if remind else reminded
            except (DatabaseError, OSError) as error:
                # Busy, full or gone just now: the next round tries again.
                log.warning("The outbox could not be seen to just now: %s", type(error).__name__)
                with contextlib.suppress(DatabaseError):
                    connection.close()
            ended.wait(EVERY)

    @staticmethod
    def await_end(ended):
        """The pipe to us closes when the process that started us ends, even if it was killed."""
        with contextlib.suppress(OSError, ValueError):
            # Not through sys.stdin: its lock would be held by this thread when Python ends.
            while os.read(sys.stdin.fileno(), 1024):
                pass
        ended.set()

    @staticmethod
    def one_round(*, remind=True):
        went_by, carry = carrier()
        if not Shop.objects.exists():
            return went_by, 0
        if remind:
            write_reminders()
            sweep()
        return went_by, send_waiting(went_by, carry)
