"""Does the process that sends messages end with the shop it stands beside, and say nothing while all is well?"""

import os
import signal
import subprocess
import sys
import time

import pytest
from django.conf import settings
from django.core.management import call_command

from shop.management.commands import start


def opened_beside(folder):
    return subprocess.Popen(
        [sys.executable, "manage.py", "post", "--watch", "--beside"],
        cwd=settings.ROOT,
        env={**os.environ, "SHOP_DATA": str(folder), "SHOP_LOG_LEVEL": "ERROR"},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def at_work(folder, patience=90):
    """Once it has looked for the database, which it makes empty, it is past its start."""
    until = time.monotonic() + patience
    while not (folder / "tierwright.sqlite3").exists():
        assert time.monotonic() < until, "it never looked into the outbox"
        time.sleep(0.1)


def test_beside_the_shop_it_ends_when_the_shop_does_or_when_it_is_told_to(tmp_path):
    """The pipe from the shop closes however the shop ends, killed too."""
    folders = tmp_path / "pipe", tmp_path / "sign"
    for folder in folders:
        folder.mkdir()
    by_pipe, by_sign = map(opened_beside, folders)
    for folder in folders:
        at_work(folder)
    assert (by_pipe.poll(), by_sign.poll()) == (None, None)
    by_sign.send_signal(signal.SIGTERM)
    assert (by_sign.wait(timeout=60), by_sign.stdout.read()) == (0, "")
    said, _ = by_pipe.communicate(timeout=60)  # closes the pipe
    assert (by_pipe.returncode, said) == (0, "")
    by_sign.communicate()


@pytest.mark.django_db
def test_without_a_shop_there_is_nothing_to_send(capsys):
    call_command("post")
    assert capsys.readouterr().out == "0 put into the folder.\n"


def test_links_lead_to_the_address_that_was_opened(settings):
    assert start.own_address("127.0.0.1", 8123) == "http://127.0.0.1:8123"
    assert start.own_address("0.0.0.0", 80).rpartition(":")[0] == (
        f"http://{start.own_names('0.0.0.0')[-1]}"
    )
    settings.HTTPS = True
    assert start.own_address("127.0.0.1", 8123) == "https://127.0.0.1:8123"
