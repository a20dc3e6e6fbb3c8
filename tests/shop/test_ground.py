"""Does the ground hold: strict headers, a database that keeps its word, private files?"""

import os
import re
import sqlite3
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import connection, transaction
from django.test import Client
from PIL import Image

from shop import data_folder, env

ROOT = Path(settings.ROOT)


def run(*arguments, **environment):
    """A command of manage.py in a process of its own, so that settings are read anew."""
    return subprocess.run(
        [sys.executable, "manage.py", *arguments],
        cwd=ROOT,
        env={**os.environ, "DJANGO_ALLOW_ASYNC_UNSAFE": "", **environment},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


# --- what the browser is told ---

STRICT = {
    "default-src": "'none'",
    "script-src": "'self'",
    "style-src": "'self'",
    "img-src": "'self' data: blob:",
    "font-src": "'self'",
    "connect-src": "'self'",
    "manifest-src": "'self'",
    "worker-src": "'self'",
    "form-action": "'self'",
    "base-uri": "'none'",
    "frame-ancestors": "'none'",
}


def policy(answer):
    return dict(part.split(" ", 1) for part in answer["Content-Security-Policy"].split("; "))


@pytest.mark.parametrize(
    ("path", "status"),
    [("/log-in/", 200), ("/account/", 302), ("/nowhere/", 404), ("/manifest.webmanifest", 200), ("/log-out/", 302)],
)  # fmt: skip
def test_every_class_of_answer_carries_the_strict_policy(cyril, db, path, status):
    answer = cyril.get(path)

    assert answer.status_code == status
    assert policy(answer) == STRICT
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Referrer-Policy"] == "same-origin"


def test_a_forged_form_is_refused_with_the_policy(ben):
    browser = Client(enforce_csrf_checks=True)
    answer = browser.post("/log-in/", {"username": "ben@example.org", "password": "x"})

    assert answer.status_code == 403
    assert policy(answer) == STRICT
    assert "gone stale" in answer.content.decode()


def test_a_broken_page_says_so_with_the_policy_and_without_its_workings(
    cyril, db, monkeypatch, caplog
):
    def broken(*args, **kwargs):
        raise RuntimeError("the mixer fell off the bench")

    cyril.raise_request_exception = False
    monkeypatch.setattr("django.http.JsonResponse.__init__", broken)
    answer = cyril.get("/manifest.webmanifest")

    assert answer.status_code == 500
    assert policy(answer) == STRICT
    assert "Something broke on our side" in answer.content.decode()
    assert "mixer" not in answer.content.decode()
    assert "the mixer fell off the bench" in caplog.text  # and the terminal has all of it


def test_pages_load_no_script_or_style_from_elsewhere(cyril, db):
    page = cyril.get("/log-in/").content.decode()
    loaded = re.findall(r'<(?:script|link|img)[^>]*(?:src|href)="([^"]+)"', page)

    assert len(loaded) > 5
    assert [address for address in loaded if not address.startswith("/")] == []
    assert '"allowEval": false' in page
    assert '"includeIndicatorStyles": false' in page


def test_cookies_are_out_of_reach_of_scripts(cyril, ben):
    cyril.post("/log-in/", {"username": "ben@example.org", "password": "eleven cake boards"})

    for name in ("session", "csrf"):
        assert cyril.cookies[name]["httponly"]
        assert cyril.cookies[name]["samesite"] == "Lax"
        assert not cyril.cookies[name]["secure"]  # plain http on the shop's own machine


def test_https_turns_on_all_that_belongs_to_it(tmp_path):
    answer = run(
        "check", "--deploy", "--fail-level", "WARNING", SHOP_HTTPS="yes", SHOP_DATA=str(tmp_path)
    )

    assert (answer.returncode, answer.stdout) == (
        0,
        "System check identified no issues (1 silenced).\n",
    ), answer.stderr


def test_the_manifest_makes_the_app_installable_before_anybody_logs_in(cyril, db):
    answer = cyril.get("/manifest.webmanifest")
    said = answer.json()

    assert answer["Content-Type"] == "application/manifest+json"
    assert {said["id"], said["scope"], said["start_url"]} == {"/"}
    assert said["display"] == "standalone"
    for icon in said["icons"]:
        if icon["type"] == "image/png":
            with Image.open(ROOT / "static" / icon["src"].removeprefix("/static/")) as kept:
                assert f"{kept.width}x{kept.height}" == icon["sizes"]
    sizes = {(icon["sizes"], icon["purpose"]) for icon in said["icons"]}
    assert {("192x192", "any"), ("512x512", "any"), ("512x512", "maskable")} <= sizes


def test_the_maskable_icon_keeps_to_its_safe_circle():
    """W3C web app manifest, "safe zone": a circle of 40 % of the smaller side around the middle."""
    with Image.open(ROOT / "static" / "icons" / "icon-512-maskable.png") as kept:
        icon = kept.convert("RGB")
    ground = icon.getpixel((0, 0))
    outside = [
        (x, y)
        for x in range(0, 512, 2)
        for y in range(0, 512, 2)
        if (x - 255.5) ** 2 + (y - 255.5) ** 2 > (0.4 * 512) ** 2
        and icon.getpixel((x, y)) != ground
    ]
    assert outside == []


# --- the database ---


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("pragma", "value"),
    [
        ("journal_mode", "wal"),
        ("synchronous", 2),  # FULL
        ("foreign_keys", 1),
        ("recursive_triggers", 1),
        ("secure_delete", 1),
        ("mmap_size", 0),
        ("journal_size_limit", 67108864),
        ("busy_timeout", 20000),
    ],
)
def test_sqlite_is_set_so_that_a_commit_lasts(pragma, value):
    with connection.cursor() as cursor:
        assert cursor.execute(f"PRAGMA {pragma}").fetchone() == (value,)


@pytest.mark.django_db(transaction=True)
def test_a_transaction_takes_its_place_in_the_queue_at_once():
    """BEGIN IMMEDIATE: another writer is told to wait when we begin, not in the middle of our work."""
    other = sqlite3.connect(connection.settings_dict["NAME"], timeout=0)
    with transaction.atomic(), pytest.raises(sqlite3.OperationalError, match="locked"):
        other.execute("BEGIN IMMEDIATE")
    other.execute("BEGIN IMMEDIATE")
    other.close()


def test_connections_stay_open():
    assert connection.settings_dict["CONN_MAX_AGE"] is None


# --- files ---


def mode(path):
    return stat.S_IMODE(path.stat().st_mode)


def test_the_secret_key_is_made_once_for_its_owners_eyes(tmp_path):
    folder = tmp_path / "new" / "data"
    key = data_folder.secret_key(folder)

    assert len(key) >= 50
    assert data_folder.secret_key(folder) == key
    assert mode(folder / "secret.key") == 0o600
    assert mode(folder) == 0o700
    assert [path.name for path in folder.iterdir()] == ["secret.key"]


def test_a_damaged_key_is_named(tmp_path):
    (tmp_path / "secret.key").write_text("short")
    with pytest.raises(env.WrongSetting, match="damaged"):
        data_folder.secret_key(tmp_path)


def test_a_data_folder_that_cannot_be_made_is_named(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(env.WrongSetting, match="cannot be made"):
        data_folder.made(tmp_path / "file" / "data")


def test_uploads_are_kept_private(media):
    name = default_storage.save("photos/a.jpg", ContentFile(b"x"))

    assert mode(media / name) == 0o600
    assert mode(media / "photos") == 0o700
