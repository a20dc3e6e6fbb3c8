"""The shop's side of private links: sending, revoking, seeing to what the client said."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from consult.actions import links, remarks
from consult.models import (
    PrivateLink,
    Purpose,
    Remark,
)
from tests.actions.test_links import designs_sent, quoted
from tests.client_pages.at_home import DESIGNS, opened, said, three_designs
from tests.consultations import keys, make_consultation

pytestmark = pytest.mark.django_db


# --- the shop's side ---


def test_designs_are_sent_from_the_overview_by_mail(rosa, as_rosa):
    row = three_designs(rosa)
    send = reverse("consult:send", args=[row.pk])
    data = {
        **keys(row, once="k"),
        "what": "designs",
        "letters": ["A", "C"],
        "words": "Look!",
        "to": "ann@example.org",
    }
    for _ in range(2):
        assert as_rosa.post(send, data).status_code == 302
    message = row.messages.get(kind="designs_to_choose")
    assert "Look!" in message.text
    link = PrivateLink.objects.get()
    assert (link.to, remarks.offered_in(link.designs).letters()) == ("ann@example.org", ("A", "C"))
    page = as_rosa.get(reverse("consult:overview", args=[row.pk])).content.decode()
    assert ">sent</span>" in page
    as_rosa.post(reverse("consult:revoke_link", args=[row.pk]), {"link": link.pk})
    link.refresh_from_db()
    assert links.standing(link) is links.Standing.REVOKED
    assert (
        ">revoked</span>"
        in as_rosa.get(reverse("consult:overview", args=[row.pk])).content.decode()
    )


def test_without_an_address_the_link_is_shown_this_once(rosa, as_rosa):
    row = three_designs(rosa)
    send = reverse("consult:send", args=[row.pk])
    data = {**keys(row, once="k"), "what": "designs", "letters": ["A"], "to": ""}
    page = as_rosa.post(send, data)
    path = re.search(r"/for-you/[\w-]{43}/", page.content.decode())[0]
    assert 'class="qr"' in page.content.decode()
    assert "no-store" in page["Cache-Control"]
    assert Client().get(path).status_code == 303
    again = as_rosa.post(send, data)
    assert (again.status_code, PrivateLink.objects.count()) == (302, 1)
    assert path not in as_rosa.get(again["Location"]).content.decode()


@pytest.mark.parametrize(
    ("what", "says"),
    [
        ("sheet", "make the sheet first"),
        ("pay", "Nothing is signed yet"),
        ("designs", "Tick at least one design"),
        ("nothing", "Say what is to be sent"),
    ],
)
def test_what_cannot_be_sent_yet_is_said(what, says, rosa, as_rosa):
    row = make_consultation(rosa)
    send = reverse("consult:send", args=[row.pk])
    answer = as_rosa.post(send, {**keys(row), "what": what, "to": "ann@example.org"}, follow=True)
    assert says in answer.content.decode()
    assert not PrivateLink.objects.exists()
    assert not row.messages.exists()


def test_another_consultations_link_or_remark_is_not_touched(rosa, as_rosa):
    row, other = three_designs(rosa), make_consultation(rosa, client_name="Quilla Marsh")
    browser = opened(designs_sent(row, rosa)[1])
    link = PrivateLink.objects.get()
    browser.post(DESIGNS, said(link, words="Lovely"))
    as_rosa.post(reverse("consult:revoke_link", args=[other.pk]), {"link": link.pk})
    as_rosa.post(
        reverse("consult:settle_remark", args=[other.pk]), {"remark": Remark.objects.get().pk}
    )
    link.refresh_from_db()
    assert link.revoked_at is None
    assert Remark.objects.get().settled_at is None


def test_a_sheet_is_not_sent_twice_for_one_tap(rosa, as_rosa):
    row = quoted(rosa)
    send = reverse("consult:send", args=[row.pk])
    data = {**keys(row, once="k"), "what": "sheet", "to": "ann@example.org"}
    assert [as_rosa.post(send, data).status_code for _ in range(2)] == [302, 302]
    assert row.messages.filter(kind="sheet_to_sign").count() == 1
    assert PrivateLink.objects.filter(purpose=Purpose.SHEET).count() == 1
