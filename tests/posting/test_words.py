"""Does each message say the same in both its forms, escaped where it must be and nowhere else?"""

import re
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser

import pytest
from django.conf import settings
from django.db import transaction

from consult.actions import post
from consult.models import Message
from consult.posting.kinds import KINDS
from consult.posting.words import has_secret, masked, one_line, worded
from shop.addresses import absolute
from shop.core.money import Money
from tests.consultations import make_consultation
from tests.documents.samples import three_tiers
from tests.makers import make_book

TOKEN = "a-b_C" * 8 + "xyz"  # 43 letters, as secrets.token_urlsafe(32) gives


class Shown(HTMLParser):
    """What a reader of the HTML sees."""

    def __init__(self):
        super().__init__()
        self.words, self.hidden = [], 0

    def handle_starttag(self, tag, attrs):
        self.hidden += tag in ("style", "title")

    def handle_endtag(self, tag):
        self.hidden -= tag in ("style", "title")

    def handle_data(self, data):
        if not self.hidden:
            self.words.append(data)


def words_of(html):
    shown = Shown()
    shown.feed(html)
    return re.findall(r"\w+", " ".join(shown.words))


def signed_copy(**more):
    sheet = more.pop("sheet", three_tiers())
    return worded(
        "signed_copy",
        {
            "shop": make_book().identity,
            "sheet": sheet,
            "signed_by": "Ann Okafor",
            "signed_at": "24 November 2026, 16:12 (UTC-05:00)",
            "to_pay": Money(15_850, "USD"),
            "to_pay_by": sheet.deposit_due,
            "link": f"https://cakes.example/for-you/{TOKEN}/",
            **more,
        },
    )


def test_the_plain_text_says_everything_the_html_says():
    said = signed_copy()
    text = re.findall(r"\w+", said.text)
    missing = [word for word in words_of(said.html) if word not in text]
    assert len(words_of(said.html)) > 60
    assert missing == []


REMINDERS = {
    "quote_lapses": {"until": date(2027, 5, 1)},
    "deposit_due": {"due": date(2027, 5, 1), "today": date(2027, 5, 2)},
    "balance_due": {"due": date(2027, 5, 1), "today": date(2027, 5, 1)},
    "count_to_confirm": {"until": date(2027, 5, 1), "guests": 80},
}


@pytest.mark.parametrize("kind", REMINDERS)
def test_a_reminder_says_the_same_in_both_forms(kind):
    said = worded(
        kind,
        {
            "shop": make_book().identity,
            "locale": "en_US",
            "sheet": three_tiers(),
            "amount": Money(15_850, "USD"),
            "received": Money(1_000, "USD"),
            "reference": "RF3120260001",
            "link": f"https://cakes.example/for-you/{TOKEN}/",
            **REMINDERS[kind],
        },
    )
    text = re.findall(r"\w+", said.text)
    assert [word for word in words_of(said.html) if word not in text] == []
    assert len(words_of(said.html)) > 60
    assert "Saturday, May 1, 2027" in said.subject
    assert said.text.startswith(f"Dear {three_tiers().client_name},\n\n")
    assert ("$158.50" in said.text) == kind.endswith("_due")


def test_each_message_has_both_its_parts_and_a_name_for_people():
    folder = settings.ROOT / "templates" / "mail"
    files = [path for path in folder.glob("*.html") if not path.name.startswith("_")]
    assert len(files) >= 5
    assert [path.stem for path in files if path.stem not in KINDS] == []
    assert [
        path.stem
        for path in files
        for part in ("subject", "body")
        if path.read_text(encoding="utf-8").count("{% partialdef " + part + " %}") != 1
    ] == []


def test_a_message_says_what_is_to_pay_and_where():
    said = signed_copy()
    assert "To pay now: $158.50\n" in said.text
    assert (
        f"See what to pay, by when and how:\nhttps://cakes.example/for-you/{TOKEN}/\n" in said.text
    )
    assert f'href="https://cakes.example/for-you/{TOKEN}/"' in said.html
    assert "\n\n\n" not in said.text


def test_a_name_is_escaped_in_html_and_left_alone_in_text_and_subject():
    said = signed_copy(signed_by="O'Neil & <b>Sons</b>", to_the_shop=True)
    assert said.subject.startswith("Signed by O'Neil & <b>Sons</b>: sheet")
    assert "O'Neil & <b>Sons</b> signed design sheet" in said.text
    assert "O&#x27;Neil &amp; &lt;b&gt;Sons&lt;/b&gt; signed" in said.html
    assert "<b>Sons" not in said.html


@pytest.mark.parametrize("end", ["\r\n", "\n", "\r", "\x00", "\x85", "\u2028", "\x0b", "\x1b"])
def test_no_name_begins_another_header(end):
    said = signed_copy(signed_by=f"Ann{end}Bcc: all@example.org", to_the_shop=True)
    assert said.subject.startswith("Signed by Ann Bcc: all@example.org: sheet")
    assert len(said.subject.splitlines()) == 1


def test_marks_that_turn_words_around_are_left_out_of_a_subject():
    assert one_line("sheet \u202egnp.exe\u2066 x\u2069") == "sheet gnp.exe x"


def test_a_message_fetches_nothing_and_tells_nobody_that_it_was_read():
    html = signed_copy().html
    assert re.findall(r"<(img|script|link|iframe|object)\b|url\(|@import|src=", html) == []
    assert [a for a in re.findall(r'href="([^"]+)"', html) if "/for-you/" not in a] == []


def test_a_subject_is_cut_where_its_column_ends():
    sheet = replace(three_tiers(), number="9" * 300)
    assert len(signed_copy(sheet=sheet).subject) == 200


def test_the_token_of_a_link_is_covered_wherever_it_stands():
    said = signed_copy()
    assert has_secret(said.text)
    for form in (masked(said.text), masked(said.html)):
        assert TOKEN not in form
        assert "https://cakes.example/for-you/•••/" in form
        assert not has_secret(form)


@pytest.mark.django_db(transaction=True)
def test_a_message_is_only_written_in_the_transaction_of_its_change(rosa):
    row = make_consultation(rosa)
    with pytest.raises(transaction.TransactionManagementError):
        post.write("signed_copy", to="ann@example.org", consultation=row)

    @transaction.atomic
    def fails():
        assert write_copy(row) is not None
        raise RuntimeError("the change fails")

    with pytest.raises(RuntimeError, match="the change"):
        fails()
    assert not Message.objects.exists()


def write_copy(row, **more):
    return post.write(
        "signed_copy",
        **{
            "to": row.client_email,
            "consultation": row,
            "context": {
                "sheet": three_tiers(),
                "signed_by": row.client_name,
                "signed_at": "today",
            },
            **more,
        },
    )


def test_a_message_waits_with_its_words_and_a_name_of_its_own(rosa):
    paper = post.Attached("contract\r\nX: y.pdf", "application/pdf", "0" * 64)
    kept = write_copy(make_consultation(rosa), attached=(paper,))
    again = Message.objects.get()
    assert (again.state, again.to, again.tries) == ("waiting", "ann@example.org", 0)
    assert again.attached == [
        {"name": "contract X: y.pdf", "type": "application/pdf", "sha256": "0" * 64}
    ]
    assert re.fullmatch(r"<[0-9a-f]{32}@[a-z.]+>", kept.message_id)


def test_nobody_to_write_to_and_a_key_used_before_write_nothing(rosa):
    row = make_consultation(rosa)
    assert write_copy(row, to=" ") is None
    assert write_copy(row, once="sheet 1") is not None
    assert write_copy(row, once="sheet 1") is None
    assert write_copy(row) is not None
    assert write_copy(row) is not None
    assert Message.objects.count() == 3


@pytest.mark.parametrize("to", ["ann", "ann@example.org\nBcc: all@example.org", "a b@example.org"])
def test_what_is_no_address_is_kept_with_its_trouble_and_never_sent(rosa, to):
    kept = write_copy(make_consultation(rosa), to=to)
    assert kept.state == "failed"
    assert kept.trouble == "That is not an e-mail address, so it cannot be sent."
    assert "\n" not in kept.to


def test_an_address_begins_with_what_the_shop_is_reached_by(settings):
    settings.ADDRESS = "https://cakes.example"
    assert absolute("/for-you/x/") == "https://cakes.example/for-you/x/"
    with pytest.raises(ValueError, match="slash"):
        absolute("for-you/")
