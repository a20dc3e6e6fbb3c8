"""The plug is pulled while the shop saves, again and again: is all that was called saved there, once, and whole?"""

import json
import os
import random
import re
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from collections import Counter
from datetime import UTC, datetime
from http.client import HTTPConnection, HTTPException
from urllib.parse import urlencode

import pytest
from django.conf import settings

from consult.core.signing import Link, verify_chain
from shop.sample import SAMPLE_PEOPLE
from tests.shop.test_start import answer_from, free_port

ROUNDS, TABLETS = 12, 4


class Tablet:
    """A browser as far as it matters: cookies, forms, and the same form again after no answer."""

    def __init__(self, port):
        self.port, self.cookies = port, {}

    def ask(self, method, path, said=None):
        asked = HTTPConnection("127.0.0.1", self.port, timeout=20)
        headers = {"Cookie": "; ".join(f"{k}={v}" for k, v in self.cookies.items())}
        body = None
        if said is not None:
            body = urlencode({**said, "csrfmiddlewaretoken": self.cookies.get("csrf", "")})
            headers |= {"Content-Type": "application/x-www-form-urlencoded", "HX-Request": "true"}
        try:
            asked.request(method, path, body, headers)
            answer = asked.getresponse()
            page = answer.read().decode("utf-8", "replace")
        finally:
            asked.close()
        for cookie in answer.headers.get_all("Set-Cookie") or []:
            name, value = cookie.split(";")[0].split("=", 1)
            self.cookies[name] = value
        return answer, page

    def log_in(self):
        self.ask("GET", "/log-in/")
        person = SAMPLE_PEOPLE[0]
        answer, page = self.ask(
            "POST", "/log-in/", {"username": person.email, "password": person.password}
        )
        assert answer.status == 302, page

    def open_consultation(self):
        answer, _ = self.ask("POST", "/consultations/new/", {})
        return re.search(r"/consultations/(\d+)/", answer.headers["Location"]).group(1)


class Server:
    """The shop as `start` opens it, in a group of processes that can be killed at one stroke."""

    def __init__(self, folder):
        self.folder, self.port, self.process = folder, free_port(), None

    def start(self):
        kept = {k: v for k, v in os.environ.items() if not k.startswith("DJANGO_")}
        self.process = subprocess.Popen(
            [sys.executable, "manage.py", "start", "--port", str(self.port), "--data", str(self.folder / "data")],
            cwd=settings.ROOT, env={**kept, "SHOP_STATIC": str(self.folder / "static")},
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
        )  # fmt: skip
        answer_from(self.port, "/log-in/")

    def kill(self):
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait(30)


@pytest.fixture
def server(tmp_path):
    opened = Server(tmp_path)
    opened.start()
    yield opened
    if opened.process.poll() is None:
        opened.kill()


def autosaving(tablet, pk, name, acknowledged, stop):
    """Save, and save the same again with the same key until it is acknowledged, or the shop has closed."""
    number = 0
    while not stop.is_set():
        number += 1
        what = f"{name}-{number}"
        said = {
            "hand_over_how": "collection", "occasion": what, "client_name": "Ann Okafor",
            "revision": "1", "page": name, "once": f"key-{what}",
        }  # fmt: skip
        while not stop.is_set():
            try:
                answer, _ = tablet.ask("POST", f"/consultations/{pk}/event/", said)
            except (OSError, HTTPException):
                time.sleep(0.05)
                continue
            if answer.status == 200 and "Saved" in answer.headers.get("HX-Trigger", ""):
                acknowledged.append(what)
            break


def kept_in(folder):
    """What stands in the database file: occasions kept, by how often, and whether all of it is whole."""
    rows = sqlite3.connect(folder / "data" / "tierwright.sqlite3")
    assert rows.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert rows.execute("PRAGMA foreign_key_check").fetchall() == []
    kept, broken = Counter(), []
    for pk, revision in rows.execute("SELECT id, revision FROM consult_consultation").fetchall():
        links, last = [], 0
        for place, at, who, what, says, details, of, previous, own in rows.execute(
            "SELECT place, at, who_words, what, says, details, revision, previous, hash FROM consult_entry "
            "WHERE consultation_id = ? ORDER BY place", [pk],
        ):  # fmt: skip
            entry = {
                "consultation": pk, "place": place, "what": what, "says": says, "who": who, "revision": of,
                "at": datetime.fromisoformat(at).replace(tzinfo=UTC).isoformat(), "details": json.loads(details),
            }  # fmt: skip
            links.append(Link(entry, previous, own))
            last = of
            if what == "event":
                kept.update(re.findall(r"\bt\d+-\d+\b", says))
        if verify_chain(links) is not None or last != revision:
            broken.append(pk)
    rows.close()
    return kept, broken


def unkept(acknowledged, kept):
    """What was called saved and is not there exactly once."""
    return [what for what in acknowledged if kept[what] != 1]


def test_nothing_that_was_called_saved_is_lost_by_pulling_the_plug(server, tmp_path):
    chance = random.Random(41)
    tablets = []
    for _ in range(TABLETS):
        tablet = Tablet(server.port)
        tablet.log_in()
        tablets.append((tablet, tablet.open_consultation()))
    acknowledged, stop, restarts = [], threading.Event(), []
    threads = [
        threading.Thread(
            target=autosaving, args=(tablet, pk, f"t{place}", acknowledged, stop), daemon=True
        )
        for place, (tablet, pk) in enumerate(tablets)
    ]
    for thread in threads:
        thread.start()
    for _ in range(ROUNDS):
        before = len(acknowledged)
        while len(acknowledged) < before + 4:
            time.sleep(0.02)
        time.sleep(chance.random() * 0.4)
        server.kill()
        started = time.monotonic()
        server.start()
        restarts.append(time.monotonic() - started)
    stop.set()
    for thread in threads:
        thread.join(30)
    server.kill()
    kept, broken = kept_in(tmp_path)
    assert len(acknowledged) >= 4 * ROUNDS
    assert unkept(acknowledged, kept) == []
    assert [what for what, times in kept.items() if times > 1] == []
    assert broken == []


def test_the_search_for_what_is_lost_or_doubled_finds_it():
    kept = Counter({"t0-1": 1, "t0-2": 2})
    assert unkept(["t0-1", "t0-2", "t0-3"], kept) == ["t0-2", "t0-3"]
