"""The disk is full, the folder closed, the database busy: is that said in words, and is nothing called saved?"""

import errno
import os
import sqlite3
import threading
import time
from html import unescape

import pytest
from django.core.files.storage import default_storage
from django.db import OperationalError, connection, connections
from django.test import Client
from django.urls import reverse

from consult.models import Consultation, Photo, Sheet
from shop import trouble
from shop.storage import DurableStorage
from tests.conftest import logged_in
from tests.consultations import make_consultation
from tests.steps.test_photos import add, picture
from tests.trust.stage import post


class FullDisk(DurableStorage):
    """A media folder on a disk with no room left, or one that may only be read."""

    error = errno.ENOSPC

    def _save(self, name, content):
        raise OSError(self.error, os.strerror(self.error))


class ReadOnly(FullDisk):
    error = errno.EROFS


def on(settings, kind):
    """The media store on such a disk from here on."""
    name = f"{kind.__module__}.{kind.__qualname__}"
    settings.STORAGES = {**settings.STORAGES, "default": {"BACKEND": name}}


def off(settings):
    settings.STORAGES = {**settings.STORAGES, "default": {"BACKEND": "shop.storage.DurableStorage"}}


def is_said_plainly(answer, words):
    page = unescape(answer.content.decode())
    assert answer.status_code == 503
    assert answer["Retry-After"] == "30"
    assert words in page
    assert "was not saved" in page
    assert "Go back: what you typed is still on the page." in page
    assert "Traceback" not in page
    assert "OSError" not in page
    assert "Saved" not in page
    assert "saved" not in answer.headers.get("HX-Trigger", "")
    assert "default-src 'none'" in answer["Content-Security-Policy"]


@pytest.mark.django_db
@pytest.mark.parametrize(("kind", "words"), [(FullDisk, trouble.FULL), (ReadOnly, trouble.CLOSED)])
def test_a_picture_and_a_sheet_are_not_called_kept_on_a_disk_that_takes_nothing(
    settings, rosa, as_rosa, kind, words
):
    row = make_consultation(rosa)
    as_rosa.raise_request_exception = False
    on(settings, kind)
    before = Consultation.objects.values().get(pk=row.pk)
    is_said_plainly(add(as_rosa, row, picture()), words)
    is_said_plainly(post(as_rosa, "sheet", row), words)
    assert not Photo.objects.exists()
    assert not Sheet.objects.exists()
    assert Consultation.objects.values().get(pk=row.pk) == before
    assert as_rosa.get(reverse("consult:event", args=[row.pk])).status_code == 200
    off(settings)  # room again: the same requests go through, without a restart
    assert add(as_rosa, row, picture()).status_code == 200
    assert post(as_rosa, "sheet", row).status_code == 302
    assert default_storage.exists((name := Sheet.objects.get().pdf_sha256)[:2] + "/" + name)


@pytest.fixture
def short_of_room(transactional_db):
    """The database file may grow no further: SQLite then says that the disk is full."""
    with connection.cursor() as cursor:
        cursor.execute(
            "VACUUM"
        )  # earlier tests leave free pages in the file, room enough for this one
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        pages = cursor.execute("PRAGMA page_count").fetchone()[0]
        cursor.execute(f"PRAGMA max_page_count={pages}")
    yield
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA max_page_count=1073741823")


def autosave(browser, row, notes):
    said = {"hand_over_how": "collection", "notes": notes, "client_name": "Ann Okafor"}
    return post(browser, "event", row, said, HTTP_HX_REQUEST="true")


@pytest.mark.django_db(transaction=True)
def test_a_database_on_a_full_disk_saves_nothing_and_says_so(rosa, request):
    row = make_consultation(rosa)
    browser = logged_in(rosa)
    browser.raise_request_exception = False
    if connection.vendor != "sqlite":
        return
    request.getfixturevalue("short_of_room")
    refused = 0
    acknowledged = ""
    for turn in range(60):
        notes = f"turn {turn} " + "x" * 3_000
        answer = autosave(browser, row, notes)
        if answer.status_code == 200:
            acknowledged = notes
        else:
            is_said_plainly(answer, trouble.FULL)
            refused += 1
            if refused == 3:
                break
    assert refused == 3
    row.refresh_from_db()
    assert row.notes == acknowledged
    assert browser.get(reverse("consult:event", args=[row.pk])).status_code == 200
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA max_page_count=1073741823")
        assert cursor.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert autosave(browser, row, "room again").status_code == 200


@pytest.mark.django_db(transaction=True)
def test_a_database_held_by_somebody_else_is_said_once_the_wait_is_over(rosa):
    row = make_consultation(rosa)
    browser = logged_in(rosa)
    browser.raise_request_exception = False
    if connection.vendor != "sqlite":
        return
    holder = sqlite3.connect(connection.settings_dict["NAME"], isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    answers = []

    def save():
        try:
            with connection.cursor() as cursor:  # the shop waits 20 seconds
                cursor.execute("PRAGMA busy_timeout = 1000")
            started = time.monotonic()
            answers.append((autosave(browser, row, "while it is held"), time.monotonic() - started))
            answers.append((browser.get(reverse("consult:event", args=[row.pk])), 0))
        finally:
            connections.close_all()

    tablet = threading.Thread(target=save)
    tablet.start()
    tablet.join(40)
    holder.execute("ROLLBACK")
    holder.close()
    (saved, took), (read, _) = answers
    is_said_plainly(saved, trouble.BUSY)
    assert took < 8
    assert read.status_code == 200
    row.refresh_from_db()
    assert row.notes == ""
    assert autosave(browser, row, "free again").status_code == 200


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), trouble.FULL),
        (OSError(errno.EROFS, "Read-only file system"), trouble.CLOSED),
        (PermissionError(errno.EACCES, "Permission denied"), trouble.CLOSED),
        (OperationalError("database or disk is full"), trouble.FULL),
        (OperationalError("database is locked"), trouble.BUSY),
        (OperationalError("attempt to write a readonly database"), trouble.CLOSED),
        (OperationalError("unable to open database file"), trouble.CLOSED),
        (OperationalError("connection refused"), trouble.GONE),
        (OperationalError("no such table: consult_sheet"), ""),
        (FileNotFoundError(errno.ENOENT, "No such file"), ""),
        (ValueError("a fault of ours"), ""),
        (None, ""),
    ],
)
def test_what_may_pass_is_told_from_a_fault_of_ours(error, words):
    assert trouble.what_passes(error) == words


@pytest.mark.django_db
def test_a_fault_of_ours_is_still_a_fault(settings, rosa, as_rosa):
    row = make_consultation(rosa)
    add(as_rosa, row, picture())
    photo = Photo.objects.get()
    default_storage.delete(f"{photo.sha256[:2]}/{photo.sha256}")
    as_rosa.raise_request_exception = False
    answer = as_rosa.get(reverse("consult:picture", args=[row.pk, photo.sha256]))
    assert answer.status_code == 500
    assert "Something broke on our side" in answer.content.decode()
    assert Client().get("/log-in/").status_code == 200
