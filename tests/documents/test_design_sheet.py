"""Does the design sheet say all that is agreed, in order, and draw it true to its scale?"""

import hashlib
import io
import re
import subprocess
import time
from dataclasses import replace

import pytest
from PIL import Image
from pypdf import PdfReader
from reportlab.lib.units import mm

from consult.core.sheet import TakeOut
from consult.documents.design_sheet import design_sheet, scene_of
from consult.documents.paper import MARGIN, SIZES
from shop.core.policies import Paper
from tests.documents.samples import (
    ACCENTED,
    FINGERPRINT,
    LONG_NAME,
    decoration,
    drawn_mark,
    mixed_shapes,
    one_tier,
    picture,
    six_tiers,
    three_tiers,
    typed_mark,
)
from tests.documents.test_scene import drawn_paths

PICTURES = {hashlib.sha256(one).hexdigest(): one for one in map(picture, range(6))}


def printed(sheet, mark=None, photos=PICTURES):
    return design_sheet(sheet, FINGERPRINT, photos, mark)


def words_of(pdf):
    """All words in the order they are read, single spaces."""
    return " ".join(
        " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split()
    )


def in_order(text, *parts):
    """Where each part begins, looked for after the one before; -1 when it is not there."""
    found, start = [], 0
    for part in parts:
        start = text.find(part, start)
        found.append(start)
        if start < 0:
            break
        start += len(part)
    return found


@pytest.fixture(scope="module")
def three():
    return printed(three_tiers())


@pytest.fixture(scope="module")
def six():
    return printed(six_tiers(), typed_mark(ACCENTED))


def test_the_sheet_says_everything_in_the_order_it_is_agreed(three):
    places = in_order(
        words_of(three),
        "Design sheet", "Adaeze Tamm & Jonas Lind", "anniversary, Saturday, May 15, 2027, 70 guests",
        "Quillbrook Cakes", "Sheet 2027-0142, revision 2", "quoted March 3, 2027, holds to March 17, 2027",
        "10 in round", "8 in round", "5 in round", "board 14 in", "drawn 1:6", "warm white", "rosemary",
        "5 in round", "hazelnut, fig jam", "8 in round", "honey, mascarpone", "10 in round",
        "dessert slices, 1 x 2 in", "71", "Needed: 70 guests, all eating: 70 servings",
        "Hand-over", "Delivered and set up", "a level table", "shade", "out of the cold",
        "Decorations", "Sugar figs, halved and whole", "tier 2", "7", "Rosemary sprigs, sugar",
        "Names in piped icing", "“Adaeze & Jonas, ten years”",
        "Price", "Tier 1, 10 in round", "38 servings at $5.00", "$212.00", "Delivery and set-up", "$40.00",
        "Total", "includes sales tax of $31.20", "$515.00", "Deposit", "to hold the date, due March 10, 2027",
        "$257.50", "Balance", "due May 1, 2027", "$257.50",
        "Allergens and cautions", "Contains", "wheat, milk, egg, hazelnut.", "May contain", "peanut, sesame.",
        "You asked us to avoid",
        "Not safe for somebody with a severe peanut allergy.", "Follow the advice of your doctor.",
        "Take off or out before cutting", "all", "Dowels and boards", "under tiers 2 to 3", "count them",
        "Terms, version 3", "Changes.", "Hand-over.",
        "To be signed", "I have read this sheet", "Consent text, version 2", "Client, and date",
        "For Quillbrook Cakes, and date",
    )  # fmt: skip
    assert -1 not in places


def test_each_page_carries_number_revision_fingerprint_and_its_place(six):
    pages = PdfReader(io.BytesIO(six)).pages
    for place, page in enumerate(pages, start=1):
        text = page.extract_text()
        assert f"page {place} of {len(pages)}" in text
        assert "Sheet 2027-0142, revision 2" in text
        assert FINGERPRINT in text


@pytest.mark.parametrize(
    ("sheet", "pages"), [(one_tier(), 2), (three_tiers(), 2), (mixed_shapes(), 2), (six_tiers(), 4)]
)
def test_the_sheet_takes_so_many_pages(sheet, pages):
    assert len(PdfReader(io.BytesIO(printed(sheet))).pages) == pages


def test_the_same_sheet_gives_the_same_bytes_and_another_does_not(three):
    assert printed(three_tiers()) == three
    assert printed(three_tiers(revision=3)) != three
    with_picture = three_tiers(photos=six_tiers().photos[:1])
    assert printed(with_picture, typed_mark()) == printed(with_picture, typed_mark())


def test_the_paper_is_the_shops_choice(three):
    for paper, sheet in ((Paper.LETTER, three), (Paper.A4, printed(mixed_shapes()))):
        box = PdfReader(io.BytesIO(sheet)).pages[0].mediabox
        assert (float(box.width), float(box.height)) == pytest.approx(SIZES[paper], abs=0.01)


def sides(paths):
    return [(right - left, top - foot) for left, foot, right, top in paths]


@pytest.mark.parametrize("sheet", [one_tier(), three_tiers(), mixed_shapes(), six_tiers()])
def test_tiers_and_scale_bar_measure_true_on_paper(sheet):
    """A ruler laid on the print, to half a per cent."""
    _, scale = scene_of(sheet)
    pdf = printed(sheet)
    assert f"drawn 1:{scale}" in words_of(pdf)
    found = sides(drawn_paths(pdf))
    wanted = [(one.tier.size_mm, one.tier.height_mm) for one in sheet.tiers]
    wanted += [(4 * 25.4 if sheet.units == "in" else 100, 1.2 * scale), (sheet.board_mm, 12)]
    for wide, high in wanted:
        expected = (wide * mm / scale, high * mm / scale)
        assert [one for one in found if one == pytest.approx(expected, rel=0.005)], (wide, high)


@pytest.mark.parametrize("sheet", [one_tier(), three_tiers(), mixed_shapes(), six_tiers()])
def test_nothing_is_drawn_outside_the_margins(sheet):
    width, height = SIZES[sheet.paper]
    for left, foot, right, top in drawn_paths(printed(sheet)):
        assert left >= MARGIN - 3
        assert right <= width - MARGIN + 3
        assert foot > 0
        assert top < height


def pictures_on(pdf):
    """Width and height on paper of every picture, and of its pixels, in order."""
    found = []
    for page in PdfReader(io.BytesIO(pdf)).pages:
        pixels = {one.name.removesuffix(".jpg"): one.image.size for one in page.images}

        def visit(operator, operands, matrix, _text, pixels=pixels):
            if operator == b"Do":
                found.append((matrix[0], matrix[3], *pixels[operands[0].lstrip("/")]))

        page.extract_text(visitor_operand_before=visit)
    return found


def test_pictures_are_never_stretched_and_keep_their_captions(six):
    shown = pictures_on(six)
    assert len(shown) == 6
    for place, (wide, high, across, down) in enumerate(shown):
        with Image.open(io.BytesIO(picture(place))) as original:
            assert wide / high == pytest.approx(original.width / original.height, rel=0.005)
            assert across / down == pytest.approx(original.width / original.height, rel=0.02)
    text = words_of(six)
    assert -1 not in in_order(
        text, "Pictures we spoke about", "the garden wall", "grandmother", "table like"
    )


def test_a_picture_that_is_missing_or_broken_leaves_a_frame_that_says_so():
    sheet = six_tiers()
    broken = {**PICTURES, sheet.photos[0].sha256: b"no picture at all"}
    broken.pop(sheet.photos[1].sha256)
    pdf = printed(sheet, photos=broken)
    assert words_of(pdf).count("This picture could not be read.") == 2
    assert len(pictures_on(pdf)) == 4


def test_the_largest_sheet_is_small_and_quick():
    sheet = six_tiers()
    printed(sheet)
    started = time.process_time()
    size = len(printed(sheet))
    assert time.process_time() - started < 2
    assert size < 3_000_000


@pytest.mark.parametrize(
    "harm", ["<b>Mira", "<img src='file:///etc/passwd'/>", "Lind & Tamm", "</para>"]
)
def test_what_the_client_typed_is_printed_as_typed(harm):
    sheet = three_tiers(
        client_name=harm, notes=harm, occasion=harm, hand_over=harm, colour_note=harm, terms=harm, consent=harm,
        avoid_words=harm, cautions=(harm,), conditions=(harm,), tax_words=harm,
        need_why=harm, take_out_rows=(TakeOut("1", harm, harm, harm),),
        contains=(harm,), shop_name=harm, decorations=(decoration(harm, "rose", 1, 0, note=harm),),
    )  # fmt: skip
    assert words_of(printed(sheet, typed_mark(harm))).count(harm) >= 16


def test_long_names_and_all_accents_are_read_back(six):
    text = words_of(six)
    assert LONG_NAME in text
    assert text.count(ACCENTED) >= 2  # in the notes and under the signature
    assert "Łukasz Žižka" in words_of(printed(mixed_shapes()))


def test_a_signed_sheet_names_who_when_how_and_before_whom():
    text = words_of(printed(three_tiers(), drawn_mark()))
    assert -1 not in in_order(
        text, "Agreed", "Adaeze Tamm", "drawn at the counter, March 4, 2027 at 15:12 CET",
    )  # fmt: skip
    assert "In the presence of Ben Arrow" in text
    assert "Client, and date" not in text


def test_a_drawn_mark_is_lines_as_large_as_the_pad_and_a_typed_one_is_words():
    """The pad is three times as wide as high; 24 mm high on paper."""
    (wave, line), (plain, drawn, typed) = (
        drawn_mark().strokes,
        (printed(three_tiers(), mark) for mark in (None, drawn_mark(), typed_mark())),
    )
    assert words_of(typed).count("Jonas Lind") > words_of(drawn).count("Jonas Lind")
    assert not [one for one in last_lines(plain) if len(one) == len(wave)]
    (shown,) = [one for one in last_lines(drawn) if len(one) == len(wave)]
    for (x, y), (across, up) in zip(wave, shown, strict=True):
        assert across - shown[0][0] == pytest.approx((x - wave[0][0]) * 72 * mm, abs=0.05)
        assert up - shown[0][1] == pytest.approx((wave[0][1] - y) * 24 * mm, abs=0.05)
    assert [one for one in last_lines(drawn) if len(one) == len(line) and one[0][0] != one[1][0]]


def last_lines(pdf):
    """The points of each line that is stroked on the last page, on paper."""
    found, now = [], []

    def visit(operator, operands, matrix, _text):
        nonlocal now
        if operator in (b"m", b"l"):
            x, y = map(float, operands)
            now.append((x * matrix[0] + matrix[4], y * matrix[3] + matrix[5]))
        elif operator == b"S":
            found.append(now)
            now = []
        elif operator in (b"n", b"f", b"B"):
            now = []

    PdfReader(io.BytesIO(pdf)).pages[-1].extract_text(visitor_operand_before=visit)
    return found


def test_the_client_never_reads_what_the_shop_earns(six, three):
    for pdf in (six, three):
        assert not re.search(
            r"\b(margin|profit|overhead|ingredients cost|hourly)\b", words_of(pdf), re.I
        )


def test_what_is_not_agreed_takes_no_heading():
    text = words_of(printed(one_tier()))
    assert "Terms, version" not in text
    assert "Pictures" not in text
    assert "Notes" not in text


def test_a_sheet_without_decorations_swatches_or_terms_still_prints():
    bare = replace(three_tiers(), decorations=(), swatches=(), conditions=(), take_out_rows=(), contains=(),
                   may_contain=(), allergen_note="", avoid_words="", cautions=(), hand_over="")  # fmt: skip
    text = words_of(printed(bare))
    assert "Decorations" not in text
    assert "Allergens and cautions" not in text


def test_headings_are_never_left_at_the_foot_of_a_page():
    headings = (
        "Decorations",
        "Hand-over",
        "Notes",
        "Price",
        "Terms, version 3",
        "Pictures we spoke about",
    )
    for count in range(0, 20, 4):
        borders = three_tiers().decorations[2:3] * count
        sheet = three_tiers(decorations=borders, notes="A note. " * 40, photos=six_tiers().photos)
        for page in PdfReader(io.BytesIO(printed(sheet))).pages:
            lines = [one.strip() for one in page.extract_text().splitlines() if one.strip()]
            body = [
                one for one in lines
                if not one.startswith(("Quillbrook Cakes ·", "page ", "Fingerprint"))
            ]  # fmt: skip
            assert body[-1] not in headings


def test_far_too_much_of_anything_runs_on_rather_than_failing():
    much = "Much is said about this. " * 300
    sheet = three_tiers(
        notes=much, cautions=(much,) * 3, conditions=(much,), decorations=(decoration(much, "rose", 1, 0, note=much),),
        lines=(replace(three_tiers().lines[0], why=much),), consent=much, terms=much, allergen_note=much,
    )  # fmt: skip
    assert words_of(printed(sheet)).split().count("Much") == 300 * 11


def pages_of(sheet, mark=None):
    return [page.extract_text() for page in PdfReader(io.BytesIO(printed(sheet, mark))).pages]


@pytest.mark.parametrize("paragraphs", [2, 5, 9, 14, 23])
@pytest.mark.parametrize("decorations", [0, 4])
def test_nobody_signs_a_page_without_terms_above(paragraphs, decorations):
    """However long the terms are: on the page of the signature at least four lines of them stand."""
    terms = "\n\n".join(f"Term{place} " + "words of it " * 22 for place in range(paragraphs))
    sheet = three_tiers(terms=terms, decorations=three_tiers().decorations[:decorations])
    last = pages_of(sheet)[-1]
    assert "To be signed" in last
    assert "Client, and date" in last
    assert len(re.findall("words of it", last.split("To be signed")[0])) >= 4 * 3


def test_a_price_line_stays_with_its_reason_and_the_total_with_a_line():
    line = three_tiers().lines[0]
    for count in range(8, 40, 4):
        lines = tuple(replace(line, what=f"Line{place}.", why=f"Reason{place}. " + "because " * 30)
                      for place in range(count))  # fmt: skip
        pages = pages_of(three_tiers(lines=lines))
        for place in range(count):
            (page,) = [one for one in pages if f"Line{place}." in one]
            assert f"Reason{place}." in page
            assert page.count("because") % 30 == 0
        (page,) = [one for one in pages if "Total" in one]
        assert f"Line{count - 1}." in page
        assert "to hold the date" in page


def test_the_price_begins_on_the_first_page():
    assert "Tier 1, 10 in round" in pages_of(three_tiers())[0].split("Price")[1]


def test_older_sheets_without_rows_still_say_what_comes_off():
    old = three_tiers(take_out_rows=(), take_out=("1 centre dowel", "2 boards"))
    assert "Take off or out before cutting: 1 centre dowel; 2 boards." in words_of(printed(old))


def run(*command, pdf, tmp_path):
    path = tmp_path / "sheet.pdf"
    path.write_bytes(pdf)
    return subprocess.run([*command, str(path)], capture_output=True, text=True, check=True).stdout


def test_every_font_is_embedded(six, tmp_path):
    """Read with poppler's pdffonts: name, type, encoding, embedded, subset, unicode."""
    rows = run("pdffonts", pdf=six, tmp_path=tmp_path).splitlines()[2:]
    assert len(rows) >= 4
    for row in rows:
        assert re.search(r" yes yes yes ", row), row


def test_the_paper_is_tagged_titled_and_knows_its_language(three, tmp_path):
    facts = run("pdfinfo", pdf=three, tmp_path=tmp_path)
    assert re.search(r"Tagged:\s+yes", facts)
    assert (
        "Design sheet: Adaeze Tamm & Jonas Lind, anniversary (sheet 2027-0142, revision 2)" in facts
    )
    assert re.search(r"Author:\s+Quillbrook Cakes", facts)
    assert "anniversary, 2027-05-15, 70 guests" in facts
    assert PdfReader(io.BytesIO(three)).trailer["/Root"]["/Lang"] == "en-US"
    tree = run("pdfinfo", "-struct-text", pdf=three, tmp_path=tmp_path)
    assert -1 not in in_order(
        tree, "Document", "H1", "Design sheet", "Figure", "H2", "Decorations", "H2", "Price"
    )
    elements = (
        PdfReader(io.BytesIO(three)).trailer["/Root"]["/StructTreeRoot"]["/K"][0].get_object()["/K"]
    )
    alternatives = [one.get_object().get("/Alt", "") for one in elements]
    assert any("Tier 1: 10 in round, 4 in high." in str(one) for one in alternatives)
