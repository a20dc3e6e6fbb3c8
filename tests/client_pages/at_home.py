"""A client at home, for tests: the addresses of the pages, a browser with a link opened, forms as they are sent."""

from django.test import Client
from django.urls import reverse

from consult.actions import links
from consult.models import (
    Sheet,
)
from tests.conftest import logged_in
from tests.consultations import make_consultation
from tests.test_designs import copied

DESIGNS, SHEET, PAY = (reverse(f"consult:for_you_{name}") for name in ("designs", "sheet", "pay"))


def opened(token, browser=None):
    browser = browser or Client()
    answer = browser.get(links.path_of(token))
    assert answer.status_code == 303, answer.content
    return browser


def three_designs(by):
    browser, row = logged_in(by), make_consultation(by)
    copied(browser, row)
    copied(browser, row)
    return row


def said(link, **words):
    return {"link": link.pk, "once": "one tap", "letter": "", "kind": "comment", **words}


def mark(row, link, **changes):
    shown = Sheet.objects.get(pk=link.sheet_id).fingerprint
    data = {"name": "Ann Okafor", "typed": "on", "agreed": "on", "shown": shown, "link": link.pk}
    return {key: value for key, value in {**data, **changes}.items() if value is not None}
