"""Who plays in the tests? Rosa owns the shop, Ben works there, Cyril is a stranger who never logged in."""

import os

import pytest
from django.test import Client

from shop.models import Person
from shop.models.person import Role

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
    """Photos and papers of one test, in a folder of its own."""
    settings.MEDIA_ROOT = tmp_path / "media"
    return settings.MEDIA_ROOT


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
