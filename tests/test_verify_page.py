"""Can anybody have a paper checked, without an account or a script, and is nothing of it kept?"""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from consult import verify_page
from consult.actions.contracts import contract_bytes
from consult.models import Contract
from tests.steps.test_signing import mark, quoted, url

pytestmark = pytest.mark.django_db


@pytest.fixture
def paper(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    as_rosa.post(url(row), mark())
    return contract_bytes(Contract.objects.get())


def ask(browser, data, **extra):
    given = SimpleUploadedFile("contract.pdf", data, "application/pdf")
    return browser.post(reverse("consult:check_a_paper"), {"paper": given}, **extra)


def test_a_stranger_learns_that_a_paper_is_ours_changed_or_not_ours(client, paper, media):
    page = client.get(reverse("consult:check_a_paper"))
    assert page.status_code == 200
    assert 'enctype="multipart/form-data"' in page.content.decode()
    kept = sorted(media.rglob("*"))
    changed = paper.replace(b"/Title", b"/Tytle", 1)
    for data, words in (
        (paper, "It is ours and untouched"),
        (changed, "It is ours, but it was changed"),
        (b"%PDF-1.4\nnothing of ours", "It is not a contract of ours"),
    ):
        answer = ask(client, data)
        assert answer.status_code == 200
        assert words in answer.content.decode()
        assert "not who we are" in answer.content.decode()
    assert sorted(media.rglob("*")) == kept


def test_a_paper_that_is_not_ours_tells_nothing_of_anybody(client, paper):
    said = ask(client, paper.replace(b"/Title", b"/Tytle", 1)).content.decode()
    assert "Okafor" not in said
    assert "2026-0001" not in said


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "That file is empty"),
        (b"not a PDF at all", "That file is not a PDF"),
        (b"%PDF-1.4" + bytes(verify_page.LARGEST), "larger than 10 MB"),
    ],
    ids=["empty", "not a PDF", "too large"],
)
def test_what_is_no_paper_is_refused_with_what_would_be_right(client, data, says):
    answer = ask(client, data)
    assert answer.status_code == 422
    assert says in answer.content.decode()


def test_nothing_chosen_is_said_plainly(client):
    answer = client.post(reverse("consult:check_a_paper"))
    assert answer.status_code == 422
    assert "Choose the file first." in answer.content.decode()


def test_too_many_papers_from_one_place_wait(client, monkeypatch):
    monkeypatch.setattr(verify_page, "MOST", 2)
    codes = [ask(client, b"%PDF-1.4 x").status_code for _ in range(4)]
    assert codes == [200, 200, 429, 429]
    assert ask(client, b"%PDF-1.4 x", REMOTE_ADDR="203.0.113.9").status_code == 200
