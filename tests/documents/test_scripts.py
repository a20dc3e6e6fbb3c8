"""Are names of any script printed with all their letters, in their order, and read back as they were typed?"""

import io
import itertools
import re
import subprocess
import unicodedata
from dataclasses import replace

import numpy
import pytest
from PIL import Image, ImageDraw, ImageFont
from pypdf import PdfReader

from consult.bench_papers import PAPERS
from consult.bench_papers import printed as bench_paper
from consult.core.bench import bench_of
from consult.core.design import Client
from consult.core.reckoning import reckon
from consult.core.sheet import SheetDecoration
from consult.documents import bidi, cff, faces, fonts, reading, scripts, shaping
from consult.documents.deposit_request import deposit_request
from consult.documents.design_sheet import design_sheet
from consult.documents.paper import BODY, MARGIN, SIZES, Running, printed, said
from shop.core.policies import Paper
from tests.documents.names import NAMES
from tests.documents.samples import FINGERPRINT, euro_request, three_tiers, typed_mark
from tests.makers import TODAY, make_book, make_brief, make_design, make_tier

RUNNING = Running("Names", "many scripts", "Quillbrook Cakes", "Sheet 1")
_ORDERING = re.compile("[\u200e\u200f\u202a-\u202e\u2066-\u2069]")  # pdftotext puts them in


def folded(text):
    return unicodedata.normalize("NFC", " ".join(_ORDERING.sub("", text).split()))


def lines_of(text):
    return [folded(line) for line in text.splitlines()]


def read(pdf):
    """What poppler's pdftotext finds on the paper."""
    found = subprocess.run(
        ["pdftotext", "-nopgbrk", "-", "-"], input=pdf, capture_output=True, check=True
    )
    return found.stdout.decode()


def read_by_pypdf(pdf):
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


def paper(*texts):
    story = [said(text) for text in texts]
    return printed(story, paper=Paper.A4, locale="en", subject="names", running=RUNNING)


@pytest.fixture(scope="module")
def sheet():
    """A design sheet with every name: one a line in the notes."""
    return design_sheet(three_tiers(notes="\n".join(NAMES.values())), FINGERPRINT, {}, None)


@pytest.fixture(scope="module")
def sheet_lines(sheet):
    return set(lines_of(read(sheet)))


# On a page of mostly Latin words both readers leave a figure where it stands on the paper, so that what is
# typed before it in Hebrew is read after it; pypdf also moves the space behind an Arabic word to its front.
_FIGURE_MISPLACED = {"Hebrew with figures"}
_SPACE_MISPLACED_BY_PYPDF = {"Latin and Arabic"}


def test_there_are_names_in_more_than_sixty_scripts_and_forms():
    assert len(set(NAMES.values())) == len(NAMES) > 100
    writings = {shaping.script(letter) for name in NAMES.values() for letter in name}
    assert len(writings - {""}) > 45


@pytest.mark.parametrize("name", NAMES, ids=str)
def test_no_letter_of_a_name_is_missing(name):
    """Glyph 0 of a font is the box for a missing letter (OpenType, "Recommendations for OpenType fonts")."""
    assert not fonts.cannot_show(NAMES[name])
    for face in (fonts.SANS, fonts.SERIF_BOLD, fonts.SERIF_ITALIC):
        for where, letters in fonts.runs(NAMES[name], face):
            for letter in letters.replace(" ", ""):
                if fonts.has_signs(where):
                    assert all(glyph for glyph, _, _ in scripts.sign(letter).parts)
                else:
                    assert fonts.can_set(where, letter)


@pytest.mark.parametrize("name", NAMES, ids=str)
def test_a_name_on_the_design_sheet_is_read_back(sheet_lines, name):
    written = folded(NAMES[name])
    if name in _FIGURE_MISPLACED:
        assert sorted(written.split()) in [sorted(line.split()) for line in sheet_lines]
    else:
        assert written in sheet_lines


def test_names_on_a_deposit_request_are_read_back_by_another_reader():
    names = [
        name
        for what, name in NAMES.items()
        if what not in _FIGURE_MISPLACED | _SPACE_MISPLACED_BY_PYPDF
    ]
    for start in range(0, len(names), 6):
        some = names[start : start + 6]
        request = euro_request(client_name=some[0], how_to_pay="\n".join(some))
        lines = lines_of(read_by_pypdf(deposit_request(request)))
        assert [name for name in some if folded(name) not in lines] == []
        assert lines.count(folded(some[0])) > 1  # in the head of the paper too, in the serif


def test_names_stand_everywhere_on_the_design_sheet():
    """In the running words, among our own, in a drawing, in a table and as a typed signature."""
    sheet = three_tiers(
        client_name="प्रियंका श्रीवास्तव", occasion="婚礼", shop_name="حلويات مريم", shop_address="רחוב הפרחים",
        avoid_words="ถั่วลิสง",
        decorations=(SheetDecoration("しゅがーの花", 2, "tier 1", "김민준", "lettering", 0, "", ""),),
    )  # fmt: skip
    text = folded(read(design_sheet(sheet, FINGERPRINT, {}, typed_mark("王小明"))))
    for words in (
        "婚礼",
        "حلويات مريم",
        "רחוב הפרחים",
        "ถั่วลิสง",
        "しゅがーの花",
        "김민준",
        "王小明",
    ):
        assert words in text
    assert text.count("प्रियंका श्रीवास्तव") > 1


@pytest.mark.parametrize("which", PAPERS)
def test_names_stand_on_each_paper_for_the_kitchen_and_the_venue(which):
    client, shop, filling = "प्रियंका श्रीवास्तव", "حلويات مريم", "餡子"
    book = make_book(name=shop)
    jam = replace(book.fillings[0], name=filling)
    book = replace(book, fillings=(jam, *book.fillings[1:]))
    tiers = tuple(make_tier(size, filling=jam.code) for size in (10, 7))
    brief = make_brief(client=Client(client, "", ""), design=make_design(tiers))
    bench = bench_of(brief, book, reckon(brief, book, TODAY, {}).work, TODAY, {})
    text = folded(read(bench_paper(which, brief, book, bench, "2027-0142", 1)))
    assert client in text
    assert shop in text
    assert filling in text or which in ("support_plan", "cutting_guide")  # they speak of none
    assert "?" not in text.replace("Anything unclear?", "")


# Against another way from text to picture: Pillow with Raqm, FriBidi, its own HarfBuzz and FreeType.
@pytest.mark.parametrize(
    ("text", "source"),
    [
        ("الأنصاري", "NotoSansArabic"), ("مُحَمَّدٌ", "NotoSansArabic"), ("כֹּהֵן", "NotoSansHebrew"),
        ("श्रीवास्तव", "NotoSansDevanagari"), ("চট্টোপাধ্যায়", "NotoSansBengali"), ("ปิ่นน้ำ", "NotoSansThai"),
        ("ស្រីមុំ", "NotoSansKhmer"), ("ကြွယ်မြင့်", "NotoSansMyanmar"), ("ශ්‍රියානි", "NotoSansSinhala"),
    ],
)  # fmt: skip
def test_it_looks_as_another_program_sets_it(text, source):
    import manimgx_fonts  # only here, for the folder its fonts are in

    path = f"{manimgx_fonts.__path__[0]}/{source}[wght].ttf"
    size, dots = 60, 144
    theirs = Image.new("L", (1200, 300), 255)
    font = ImageFont.truetype(path, size * dots // 72, layout_engine=ImageFont.Layout.RAQM)
    ImageDraw.Draw(theirs).text((40, 60), text, fill=0, font=font)
    style = BODY.clone("large", fontSize=size, leading=size * 2)
    pdf = printed(
        [said(text, style)], paper=Paper.A4, locale="en", subject="a name", running=RUNNING
    )
    ours = subprocess.run(
        ["pdftoppm", "-r", str(dots), "-gray", "-singlefile", "-y", "0", "-H", "500", "-"],
        input=pdf, capture_output=True, check=True,
    ).stdout  # fmt: skip
    first, second = (inked(picture) for picture in (Image.open(io.BytesIO(ours)), theirs))
    assert abs(first.width - second.width) <= 3
    assert abs(first.height - second.height) <= 3
    one, other = (numpy.asarray(picture.resize(second.size)) < 128 for picture in (first, second))
    assert (one & other).sum() / (one | other).sum() > 0.85


def inked(picture):
    """The picture cut down to what is dark in it."""
    grey = picture.convert("L")
    return grey.crop(grey.point(lambda value: 255 * (value < 160)).getbbox())


# The first two are the examples of UAX #9, section 3.4 ("car means CAR."), in Hebrew letters.
@pytest.mark.parametrize(
    ("typed", "base", "seen"),
    [
        ("car means אבג.", 0, "car means גבא."), ("אבג means car.", 1, ".means car גבא"),
        ("Dana אבג 12 (דה)", 0, "Dana )הד( 12 גבא"), ("אבג 1,200.50", 1, "1,200.50 גבא"),
        ("12% אב", 0, "12% בא"), ("plain", 0, "plain"),
    ],
)  # fmt: skip
def test_order_on_a_line_of_both_directions(typed, base, seen):
    order = bidi.visual_order(bidi.levels(typed, base))
    assert "".join(typed[place] for place in order) == seen


@pytest.mark.parametrize(
    ("typed", "base", "seen"),
    [
        ("אבג, +1 555 0100", 0, "גבא, +1 555 0100"), ("אבג 555-0142", 1, "555-0142 גבא"),
        ("אבג 555 0142", 1, "555 0142 גבא"), ("אבג, 70 guests", 0, "גבא, 70 guests"),
        ("אבג · 12 in", 0, "גבא · 12 in"), ("אבג, 70", 1, "70 ,גבא"),
    ],
)  # fmt: skip
def test_a_telephone_number_and_our_own_figures_are_not_turned_round(typed, base, seen):
    order = bidi.visual_order(bidi.levels(typed, base))
    assert "".join(typed[place] for place in order) == seen


def test_a_note_mostly_in_hebrew_runs_from_the_right_and_one_with_a_hebrew_name_does_not():
    assert bidi.base_level("נא לא לשים אגוזים, Dana") == 1
    assert bidi.base_level("יעל, please leave the back plain") == 0
    assert bidi.base_level("12 May") == 0


def test_each_typed_line_of_a_note_runs_its_own_way():
    """The full stop stands at the left end of the Hebrew line and at the right end of the English one."""
    story = said("נא לא לשים אגוזים.\nNo nuts, please.", BODY)
    story.wrap(400, 400)
    hebrew, english = (
        "".join(scripts.meant(getattr(part, "text", "")) for part in line.words)
        for line in reading.seen(story.blPara)[0].lines
    )
    assert hebrew.startswith(".")
    assert english.endswith(".")


def test_a_long_hebrew_note_is_set_to_the_right_edge():
    place = re.search(
        rb"xMin=\"(\d+).*xMax=\"(\d+)", box_of_lines(paper("נא לא לשים אגוזים. " * 12))[-1]
    )
    right = SIZES[Paper.A4][0] - MARGIN
    assert abs(int(place[2]) - right) <= 3
    assert int(place[1]) > MARGIN + 20


def box_of_lines(pdf):
    """Where poppler finds each line of a paper, but not the running words at its foot."""
    found = subprocess.run(
        ["pdftotext", "-bbox-layout", "-", "-"], input=pdf, capture_output=True, check=True
    ).stdout
    lines = re.findall(rb"<line [^>]*>", found)
    return [line for line in lines if float(re.search(rb'yMax="([\d.]+)', line)[1]) < 700]


def test_a_name_cannot_turn_the_words_round_it():
    """Embeddings and overrides (U+202A to U+202E, U+2066 to U+2069) are dropped."""
    assert fonts.runs("Mira\u202e 005\u202c Oake\u2066") == ((fonts.SANS, "Mira 005 Oake"),)


def test_what_no_font_has_is_seen_on_the_paper_and_told():
    text = "Mira 𒀀 བོད \U000f0000\ue123"
    assert fonts.cannot_show(text) == frozenset("𒀀བོད\U000f0000\ue123")
    assert "Mira ? ??? ??" in read(paper(text))


def test_long_text_without_spaces_is_broken_and_never_before_a_full_stop():
    text = "三段のケーキに、ナッツは入れないでください。" * 8
    lines = [line for line in lines_of(read(paper(text))) if set(line) & set(text)]
    assert "".join(lines) == text
    assert len(lines) > 2
    assert not [line for line in lines if line[0] in "、。ー"]


@pytest.mark.parametrize(
    ("text", "home"),
    [
        ("王小明 陈", "SC"),
        ("陳大文", "TC"),
        ("髙橋", "JP"),
        ("山田 はな", "JP"),
        ("金 민준", "KR"),
        ("Mira", "SC"),
    ],
)
def test_han_letters_take_the_forms_of_where_the_text_is_at_home(text, home):
    assert shaping.east_asian_home(text) == home


def test_the_same_names_give_the_same_bytes_whatever_was_printed_before():
    names = list(NAMES.values())[30:60]
    first = paper(*names)
    paper(*reversed(NAMES.values()))
    assert paper(*names) == first


def test_fonts_are_embedded_and_only_what_is_used_of_them():
    pdf = paper("王小明", "محمد")
    said_of = subprocess.run(["pdffonts", "-"], input=pdf, capture_output=True, check=True).stdout
    rows = [line.split() for line in said_of.decode().splitlines()[2:]]
    assert len(rows) == 2
    assert {tuple(row[-5:-2]) for row in rows} == {("yes", "yes", "yes")}
    assert len(pdf) < 30_000


def test_a_font_program_of_ours_is_read_by_freetype():
    square = (("M", (0, 0)), ("L", (1000, 0)), ("L", (1000, -1200)), ("L", (0, 700)))
    program = cff.program("AAAAAA+Signs", [cff.Glyph("s33", 1000, square)])
    assert ImageFont.truetype(io.BytesIO(program), 20).getname()[0] == "Signs"


def test_our_own_faces_have_no_letter_that_runs_right_to_left():
    """What `fonts` relies on where a text is all in one of them."""
    for face in (fonts.SANS, fonts.SERIF, fonts.SERIF_ITALIC, fonts.SANS_ITALIC):
        own = "".join(filter(lambda one: fonts.can_set(face, one), map(chr, range(0x110000))))
        assert len(own) > 400
        assert not bidi.has_right_to_left(own)


def test_a_paper_in_latin_script_opens_no_other_font(monkeypatch):
    def refused(*_):
        raise AssertionError("a fallback was asked for")

    monkeypatch.setattr(shaping, "chosen", refused)
    design_sheet(
        three_tiers(client_name="Łukasz Žižka, Nguyễn Thị Ánh"), FINGERPRINT, {}, typed_mark()
    )


def test_lent_code_points_run_round_without_mixing_up_signs(monkeypatch):
    monkeypatch.setattr(scripts, "_PLANES", ((0xF0000, 0xF0002), (0x100000, 0x100002)))
    lent = scripts.Lent()
    source = faces.Source(("", "", "", 0))
    signs = [shaping.Sign(str(number), source, (), number) for number in range(20)]
    for before, now in itertools.pairwise(signs):
        kept, letter = lent.letter(before), lent.letter(now)
        assert lent.sign(letter) == now
        assert lent.sign(kept) == before
