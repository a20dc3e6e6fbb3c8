"""Does one command open the shop, and say in words when it cannot?"""

import contextlib
import io
import os
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from http.client import HTTPConnection
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command

from shop.management.commands import start
from shop.models import current_book
from shop.sample_setup import sample_book

ROOT = Path(settings.ROOT)


def free_port():
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return trial.getsockname()[1]


def environment(tmp_path):
    kept = {name: value for name, value in os.environ.items() if not name.startswith("DJANGO_")}
    return {**kept, "SHOP_STATIC": str(tmp_path / "static")}


def answer_from(port, path, patience=120):
    """The answer once the server is up; fails after `patience` seconds."""
    until = time.monotonic() + patience
    while True:
        try:
            asked = HTTPConnection("127.0.0.1", port, timeout=5)
            asked.request("GET", path)
            answer = asked.getresponse()
            return answer.status, answer.read().decode()
        except OSError:
            if time.monotonic() > until:
                raise
            time.sleep(0.2)
        finally:
            asked.close()


def open_shop(tmp_path, port, *options):
    return subprocess.Popen(
        [
            sys.executable,
            "manage.py",
            "start",
            "--port",
            str(port),
            "--data",
            str(tmp_path / "data"),
            *options,
        ],
        cwd=ROOT,
        env=environment(tmp_path),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def test_the_shop_opens_twice_the_second_time_without_setting_up(tmp_path):
    said = []
    for _ in range(2):
        port = free_port()
        shop = open_shop(tmp_path, port)
        try:
            status, page = answer_from(port, "/log-in/")
            style = page.split('rel="stylesheet" href="')[1].split('"')[0]
            style_status, css = answer_from(port, style)
        finally:
            shop.send_signal(signal.SIGINT)
            words, _ = shop.communicate(timeout=30)
        said.append(words)
        assert (status, style_status, shop.returncode) == (200, 200, 0), words
        assert "Log in" in page
        assert "@font-face" in css
        assert f"http://127.0.0.1:{port}/" in words
        assert "Traceback" not in words

    assert "Setting up the database" in said[0]
    assert "Collecting the static files" in said[0]
    assert "Setting up the database" not in said[1]
    assert "Collecting the static files" not in said[1]
    assert "owner@example.org" in said[1]


def test_a_taken_port_is_said_with_what_to_do():
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        with pytest.raises(CommandError, match=f"Port {port} on 127.0.0.1 is taken") as stopped:
            call_command("start", port=port)
    assert "--port" in str(stopped.value)


@pytest.mark.parametrize("port", [0, 65536])
def test_a_port_that_cannot_be_is_refused(port):
    with pytest.raises(CommandError, match="from 1 to 65535"):
        call_command("start", port=port)


def test_an_address_of_another_machine_is_refused():
    with pytest.raises(CommandError, match=r"203\.0\.113\.9 is not an address of this machine"):
        call_command("start", host="203.0.113.9", port=free_port())  # RFC 5737: nobody's


@pytest.mark.parametrize("as_one_word", [True, False])
def test_a_data_folder_that_cannot_be_made_is_said_in_a_sentence(tmp_path, as_one_word):
    (tmp_path / "file").write_text("")
    folder = str(tmp_path / "file" / "data")
    option = [f"--data={folder}"] if as_one_word else ["--data", folder]
    stopped = subprocess.run(
        [sys.executable, "manage.py", "start", *option],
        cwd=ROOT, env=environment(tmp_path), capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert stopped.returncode == 1
    assert f"The data folder {folder} cannot be made" in stopped.stderr
    assert "Traceback" not in stopped.stderr


def test_static_files_are_collected_anew_once_one_has_changed(tmp_path, settings):
    (tmp_path / "a.css").write_text("p {}")
    settings.STATICFILES_DIRS = [tmp_path]
    before = start.static_fingerprint()

    assert start.static_fingerprint() == before
    (tmp_path / "a.css").write_text("p { }")
    assert start.static_fingerprint() != before


def test_listening_everywhere_answers_to_the_machines_own_names():
    assert start.own_names("127.0.0.1") == ["127.0.0.1", "localhost", "[::1]"]
    assert socket.gethostname() in start.own_names("0.0.0.0")
    assert "*" not in start.own_names("0.0.0.0")


@pytest.mark.parametrize(("option", "currency"), [([], "USD"), (["--euro"], "EUR")])
def test_the_sample_shop_is_filled_into_a_folder_that_was_not_there(tmp_path, option, currency):
    folder = tmp_path / "new" / "data"
    done = subprocess.run(
        [sys.executable, "manage.py", "sample_shop", *option],
        cwd=ROOT, env={**environment(tmp_path), "SHOP_DATA": str(folder)},
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "The sample shop is filled in." in done.stdout
    assert "Traceback" not in done.stderr
    with contextlib.closing(sqlite3.connect(folder / "tierwright.sqlite3")) as kept:
        assert kept.execute("SELECT currency FROM shop_shop").fetchall() == [(currency,)]


def test_the_shop_opens_in_euros_where_that_is_asked_for(tmp_path):
    port = free_port()
    shop = open_shop(tmp_path, port, "--euro")
    try:
        assert answer_from(port, "/log-in/")[0] == 200
    finally:
        shop.send_signal(signal.SIGINT)
        words, _ = shop.communicate(timeout=30)
    assert "Filling in the sample shop" in words
    with contextlib.closing(sqlite3.connect(tmp_path / "data" / "tierwright.sqlite3")) as kept:
        assert kept.execute("SELECT currency FROM shop_shop").fetchall() == [("EUR",)]


@pytest.mark.django_db
def test_a_shop_that_is_filled_in_stays_as_it_is_and_says_so():
    call_command("sample_shop", verbosity=0)
    said = io.StringIO()
    start.Command(stdout=said).seed(euro=True)
    assert "--euro changes nothing" in said.getvalue()
    assert current_book() == sample_book()
