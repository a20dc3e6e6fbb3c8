"""Who plays in the tests? Rosa owns the shop, Ben works there, Cyril is a stranger who never logged in."""

import os
import shutil

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client
from playwright.sync_api import sync_playwright

from shop.models import Person
from shop.models.person import Role
from shop.models.sealed import lifting_sql, sealed_tables

# Playwright's sync way keeps an event loop running in this thread, which Django would take for async code.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

BACKEND = (
    "django.contrib.auth.backends.ModelBackend"  # axes' own wants a request, which a test has not
)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix, tmp_path_factory):
    """A file, not memory: the live server's threads then lock and wait as they do in the shop."""
    from django.db import connections  # after pytest-django has read the settings

    database = connections["default"].settings_dict
    if database["ENGINE"].endswith("sqlite3"):
        database["TEST"]["NAME"] = str(tmp_path_factory.mktemp("database") / "test.sqlite3")


@pytest.fixture(scope="session", autouse=True)
def guards_lifted_to_empty_tables():
    """A test with a live server empties every table afterwards, those that are written once too.

    Their guards are lifted for that alone; Django's signal after it puts them up again.
    """
    operations = type(connection.ops)
    emptying = operations.sql_flush

    def sql_flush(self, style, tables, **kwargs):
        vendor = self.connection.vendor
        lifted = [words for name in sealed_tables() for words in lifting_sql(vendor, name)]
        return [*lifted, *emptying(self, style, tables, **kwargs)]

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(operations, "sql_flush", sql_flush)
        yield


@pytest.fixture(autouse=True)
def quick_and_plain(settings):
    """Passwords hashed fast, and static files under their own names: nothing is collected for tests."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }


@pytest.fixture(autouse=True)
def media(settings, tmp_path):
    """Photos, papers and messages of one test, in folders of its own."""
    settings.MEDIA_ROOT = tmp_path / "media"
    settings.POST_FOLDER = tmp_path / "post"
    return settings.MEDIA_ROOT


@pytest.fixture(scope="session")
def seal_folder(tmp_path_factory):
    """Where the shop's seal lies in tests: made once for all of them."""
    return tmp_path_factory.mktemp("seal")


@pytest.fixture(autouse=True)
def private_data(settings, seal_folder):
    """The data folder of tests, never the shop's own."""
    settings.DATA = seal_folder
    return settings.DATA


@pytest.fixture
def rosa(db):
    return Person.objects.take_on(
        "rosa@example.org", name="Rosa Abara", role=Role.OWNER, password="a whisk and a bowl"
    )


@pytest.fixture
def ben(db):
    return Person.objects.take_on(
        "ben@example.org", name="Ben Tollak", role=Role.STAFF, password="eleven cake boards"
    )


@pytest.fixture
def cyril(client):
    """A stranger: a browser that nobody has logged in with."""
    return client


def logged_in(person):
    browser = Client()
    browser.force_login(person, backend=BACKEND)
    return browser


@pytest.fixture
def as_rosa(rosa):
    return logged_in(rosa)


@pytest.fixture
def as_ben(ben):
    return logged_in(ben)


def browser_program():
    """A Chromium: the one named in CHROMIUM, one on the path, or None for the one Playwright fetched itself."""
    programs = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
    return os.environ.get("CHROMIUM") or next(filter(None, map(shutil.which, programs)), None)


@pytest.fixture(scope="session")
def browser():
    """A real browser, opened once for each worker."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=browser_program())
        yield opened
        opened.close()


SCREENS = {
    "tablet": {"viewport": {"width": 1180, "height": 820}, "has_touch": True},
    "tablet upright": {"viewport": {"width": 820, "height": 1180}, "has_touch": True},
    "phone": {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True},
    "small phone": {"viewport": {"width": 320, "height": 640}, "has_touch": True},
}


@pytest.fixture
def open_page(browser, live_server, transactional_db):
    """open_page("tablet", person=rosa): a page of a new browser window, logged in if a person is given.

    What the page complained about is kept as page.complaints.
    """
    opened = []

    def opens(screen="tablet", *, person=None, **options):
        context = browser.new_context(base_url=live_server.url, **SCREENS[screen], **options)
        opened.append(context)
        if person is not None:
            kept = logged_in(person).cookies[settings.SESSION_COOKIE_NAME]
            context.add_cookies(
                [{"name": kept.key, "value": kept.value, "url": live_server.url, "httpOnly": True}]
            )
        page = context.new_page()
        page.complaints = []
        page.on(
            "console",
            lambda said: page.complaints.append(said.text) if said.type == "error" else None,
        )
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        return page

    yield opens
    for context in opened:
        context.close()
