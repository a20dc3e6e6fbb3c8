"""Whatever is typed: is it kept as typed or refused in words, shown harmless, and never the end of a page?"""

import re
from html.parser import HTMLParser

import pytest
from django.urls import reverse
from django.utils import timezone

from consult.core.design import ChosenDecoration
from consult.models import Consultation, Payment, Photo, Sheet, Signature
from tests.consultations import a_saturday, keys, make_consultation
from tests.makers import make_design
from tests.papers import words_of
from tests.steps.test_photos import add, picture
from tests.steps.test_signing import STROKES, mark
from tests.trust.stage import post, quoted_with_picture, signed_with_deposit
from tests.trust.words import NAUGHTY, NUMBERS, WITH_NUL

pytestmark = pytest.mark.django_db
REFUSED_OR_KEPT = (200, 302, 400, 409, 422)


class Harmless(HTMLParser):
    """Reads a page and keeps what would run: scripts without a file, on… attributes, other tags than ours."""

    def __init__(self, page):
        super().__init__(convert_charrefs=True)
        self.runs = []
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        given = dict(attributes)
        if tag == "script" and not (given.get("src") or "").startswith("/static/"):
            self.runs.append(tag)
        if tag in ("font", "para", "iframe", "object", "embed"):
            self.runs.append(tag)
        self.runs += [name for name in given if name.startswith("on")]
        for name in ("href", "src", "action"):
            if (given.get(name) or "").strip().lower().startswith("javascript:"):
                self.runs.append(f"{name}={given[name]}")


def test_the_reader_of_pages_finds_what_would_run():
    bad = "<script>x</script><p onclick=x><a href='javascript:x'><font>"
    assert Harmless(bad).runs == ["script", "onclick", "href=javascript:x", "font"]


def harmless(answer):
    assert answer.status_code in REFUSED_OR_KEPT, answer.status_code
    page = answer.content.decode()
    assert Harmless(page).runs == []
    assert "Traceback" not in page
    return page


TEXTS = ("client_name", "client_phone", "client_email", "occasion", "place", "notes")


def test_each_text_of_the_event_takes_or_refuses_in_words(shop, rosa, as_rosa):
    """Every word in every field at once; where a field refuses, the others are tried without it."""
    row = make_consultation(rosa)
    kept = 0
    for word in NAUGHTY:
        said = {**dict.fromkeys(TEXTS, word), "hand_over_how": "collection"}
        answer = post(as_rosa, "event", row, said)
        page = harmless(answer)
        if answer.status_code == 422:
            wrong = re.findall(r'id="id_(\w+)_error"', page)
            assert wrong, word[:40]
            said |= dict.fromkeys(wrong, "")
            answer = post(as_rosa, "event", row, said)
        assert answer.status_code == 302, (word[:40], answer.status_code)
        row.refresh_from_db()
        for name in TEXTS:
            typed = said[name].strip()
            shown = typed.replace("\r\n", "\n").replace("\r", "\n")
            assert getattr(row, name).replace("\r\n", "\n").replace("\r", "\n") == shown
            kept += bool(typed)
        if len(said["notes"]) % 5 == 0:
            harmless(as_rosa.get(reverse("consult:overview", args=[row.pk])))
    assert kept > 4 * len(NAUGHTY)
    harmless(as_rosa.get(reverse("consult:event", args=[row.pk])))
    harmless(as_rosa.get(reverse("consult:record", args=[row.pk])))


@pytest.mark.parametrize("word", WITH_NUL)
def test_a_nul_is_refused_in_words_and_kept_nowhere(word, shop, rosa, as_rosa):
    row = make_consultation(
        rosa, design=make_design(decorations=[ChosenDecoration("sugar_rose", 3)])
    )
    add(as_rosa, row, picture())
    photo = Photo.objects.get()
    said = {"hand_over_how": "collection"}
    for name in TEXTS:
        answer = post(as_rosa, "event", row, {**said, name: word})
        page = harmless(answer)
        assert answer.status_code == 422, name
        assert "ull characters are not allowed" in page
    answer = post(as_rosa, "photos", row, {f"caption_{photo.pk}": word})
    assert answer.status_code == 422
    answer = post(as_rosa, "decorations", row, {"count_0": "3", "tier_0": "0", "note_0": word})
    assert answer.status_code == 422
    for name, field in (("new", "client_name"), ("decline", "why")):
        args = [] if name == "new" else [row.pk]
        answer = as_rosa.post(reverse(f"consult:{name}", args=args), {field: word, **keys(row)})
        harmless(answer)
    for field in ("once", "page", "revision"):
        answer = as_rosa.post(
            reverse("consult:servings", args=[row.pk]),
            {**keys(row), "guests": "80", "slice": "dessert", "eating_percent": "90", field: word},
        )
        harmless(answer)
    harmless(as_rosa.get(reverse("consult:desk"), {"q": word}))
    for kept in Consultation.objects.all():
        assert "\x00" not in "".join(getattr(kept, name) for name in TEXTS)
        assert not any("\x00" in entry.says for entry in kept.record.all())


def test_notes_on_decorations_and_captions_are_shown_as_typed(rosa, as_rosa):
    row = make_consultation(
        rosa, design=make_design(decorations=[ChosenDecoration("sugar_rose", 3)])
    )
    add(as_rosa, row, picture())
    photo = Photo.objects.get()
    for word in NAUGHTY[::4]:
        answer = post(as_rosa, "decorations", row, {"count_0": "3", "tier_0": "0", "note_0": word})
        harmless(answer)
        if answer.status_code == 302:
            kept = row.designs.get().as_value().decorations[0].note
            assert kept == word.strip()
        answer = post(as_rosa, "photos", row, {f"caption_{photo.pk}": word})
        page = harmless(answer)
        if answer.status_code == 302:
            photo.refresh_from_db()
            assert photo.caption == word.strip()
            harmless(as_rosa.get(reverse("consult:photos", args=[row.pk])))
        else:
            assert f"id_caption_{photo.pk}_error" in page


def test_the_papers_are_made_whatever_was_typed(rosa, as_rosa):
    """All words at once in the notes, the name and the rest, in a few sheets, each a PDF that can be read."""
    short = [word for word in NAUGHTY if word.strip() and len(word) <= 119]
    for start in range(0, len(short), 30):
        some = short[start : start + 30]
        notes = "\n".join(some)[:4000]
        row = quoted_with_picture(
            as_rosa, rosa, client_name=some[0], occasion=some[1], place=some[2], notes=notes
        )
        sheet = Sheet.objects.get(consultation=row)
        paper = as_rosa.get(reverse("consult:design_sheet", args=[row.pk, sheet.revision]))
        assert paper.content.startswith(b"%PDF")
        assert row.number in words_of(paper.content)
        harmless(as_rosa.get(reverse("consult:signing", args=[row.pk])))
        harmless(as_rosa.get(reverse("consult:sheet", args=[row.pk])))


def test_any_name_signs_or_is_refused_in_words(rosa, as_rosa):
    names = [word for word in NAUGHTY if word.strip()][::12]
    for week, word in enumerate(
        [*WITH_NUL, *names], 20
    ):  # each on a day of its own, or the bench is full
        row = quoted_with_picture(as_rosa, rosa, on=a_saturday(week))
        answer = as_rosa.post(reverse("consult:signing", args=[row.pk]), mark(name=word))
        page = harmless(answer)
        signature = Signature.objects.filter(sheet__consultation=row).first()
        if signature is None:
            assert 'id="id_name_error"' in page
        else:
            assert signature.name == word.strip()
            page = harmless(as_rosa.get(reverse("consult:signing", args=[row.pk])))
            assert "Signed by" in page


@pytest.mark.parametrize("means", ["cash", "beads", "\x00"])
def test_a_payment_of_any_amount_is_kept_exactly_or_refused_in_words(means, rosa, as_rosa):
    row = signed_with_deposit(as_rosa, rosa)
    url = reverse("consult:deposit", args=[row.pk])
    today = timezone.localdate().isoformat()
    for word in [*NUMBERS, "10", "0.01", "0.001", "9" * 12, "9" * 19, *WITH_NUL]:
        row.refresh_from_db()
        before = Payment.objects.count()
        answer = as_rosa.post(
            url, {**keys(row), "amount": word, "received_on": today, "means": means}
        )
        page = harmless(answer)
        if answer.status_code == 302:
            assert Payment.objects.count() == before + 1
        else:
            assert answer.status_code == 422
            assert "_error" in page
            assert Payment.objects.count() == before
    assert all(payment.amount_minor < 10**13 for payment in Payment.objects.all())


FIELDS = {
    "servings": {"guests": "80", "slice": "dessert", "eating_percent": "100", "spare": "0"},
    "tiers": {"fewest_tiers": "1", "most_tiers": "3", "display_tiers": "0", "budget": "500"},
    "event": {"hand_over_how": "collection", "event_on": "", "hand_over_at": "14:00",
              "distance_km": "1", "pick": "", "month": ""},
    "decorations": {"count_0": "3", "tier_0": "0", "note_0": "", "add": "", "take_off": ""},
    "photos": {"take_off": "", "use": "", "drop": ""},
    "flavours": {"flavour_0": "vanilla", "filling_0": "buttercream", "same": ""},
    "finishes": {"finish_0": "smooth", "colour_0": "", "own_0": "#ffffff", "same": ""},
    "signing": {"name": "Ann", "strokes": STROKES, "typed": "", "agreed": "on", "shown": "x"},
}  # fmt: skip
ODD = ["NaN", "-1", "1e308", "²", "½", "9" * 30, "9" * 5_000, "own", "#zzzzzz", "own\x00",
       "[" * 100_000, "9999-12",
       "0001-01", "9999-12-31", "2027-02-30", "25:99"]  # fmt: skip


@pytest.mark.parametrize("name", FIELDS)
def test_no_field_of_a_step_can_break_its_page(name, rosa, as_rosa):
    row = make_consultation(
        rosa, design=make_design(decorations=[ChosenDecoration("sugar_rose", 3)])
    )
    if name == "signing":
        row = quoted_with_picture(as_rosa, rosa)
    fields = [*FIELDS[name], "revision", "page", "once"]
    broken = []
    browser = as_rosa
    browser.raise_request_exception = False
    for field in fields:
        for word in ODD:
            if name == "signing" and field == "name":
                continue
            answer = post(browser, name, row, {**FIELDS[name], field: word})
            if answer.status_code not in REFUSED_OR_KEPT:
                broken.append((field, word[:12], answer.status_code))
    assert broken == []
    assert browser.get(reverse(f"consult:{name}", args=[row.pk])).status_code == 200


@pytest.mark.parametrize(
    ("name", "query"),
    [("event", {"month": month}) for month in ("9999-12", "0001-01", "0000-00", "x", "-1-1", "2027-13")]
    + [("desk", {"q": word}) for word in ("%", "_", "'", "x" * 10_000, "\ud800".encode("utf-8", "replace").decode())]
    + [("desk", {"state": "quoted' OR 1=1"})],
)  # fmt: skip
def test_an_address_typed_by_hand_never_breaks_the_page(name, query, rosa, as_rosa):
    row = make_consultation(rosa)
    args = [] if name == "desk" else [row.pk]
    harmless(as_rosa.get(reverse(f"consult:{name}", args=args), query))


@pytest.mark.parametrize("step", ["own", "stack"])
def test_the_stack_by_hand_takes_no_nonsense(step, rosa, as_rosa):
    row = make_consultation(rosa)
    as_rosa.raise_request_exception = False
    broken = []
    own = {f"{what}_{n}": "0" for n in range(3) for what in ("pan", "height", "kind")}
    page = as_rosa.get(reverse("consult:tiers", args=[row.pk])).content.decode()
    for what in ("pan", "height", "kind"):
        for n in range(3):
            first = re.search(rf'name="{what}_{n}".*?<option value="([^"]+)"', page, re.S)
            own[f"{what}_{n}"] = first.group(1)
    for word in ODD:
        for field in ("remove", "pan_0", "height_1", "kind_2") if step == "own" else ("stack",):
            said = {"form": "own", **own, field: word} if step == "own" else {field: word}
            answer = post(as_rosa, "tiers", row, said)
            if answer.status_code not in REFUSED_OR_KEPT:
                broken.append((field, word[:12], answer.status_code))
    assert broken == []
