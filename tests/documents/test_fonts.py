"""Can every name be printed, and can no name do harm?"""

import unicodedata

import pytest
from reportlab.platypus import Paragraph

from consult.documents import fonts
from consult.documents.paper import BODY, TITLE, said
from tests.documents.samples import ACCENTED


@pytest.mark.parametrize(
    ("typed", "safe"),
    [
        ("Lind & Tamm", "Lind &amp; Tamm"),
        ("<b>bold", "&lt;b&gt;bold"),
        ("<img src='file:///etc/passwd'/>", "&lt;img src='file:///etc/passwd'/&gt;"),
        ("two\nlines", "two<br/>lines"),
        ("bell\x07 and \x00nothing", "bell and nothing"),
    ],
)
def test_what_somebody_typed_is_only_words(typed, safe):
    assert fonts.words(typed) == safe
    said(typed)


def test_markup_that_is_not_escaped_would_be_read():
    """The reason for `words`: ReportLab reads its paragraphs as markup."""
    with pytest.raises(ValueError, match=r"bold|para"):
        Paragraph("<b>bold", BODY)


def test_accents_set_apart_are_set_on_their_letters():
    apart = unicodedata.normalize("NFD", "Žižka ő Ñ")
    assert apart != "Žižka ő Ñ"
    assert fonts.words(apart) == "Žižka ő Ñ"


@pytest.mark.parametrize("name", ACCENTED.split(", "))
def test_names_in_latin_greek_and_cyrillic_are_shown(name):
    assert not fonts.cannot_show(name)
    assert "".join(letters for _, letters in fonts.runs(name)) == name


def test_a_letter_the_face_lacks_comes_from_another_face():
    """The serif has no narrow no-break space (U+202F), which French amounts are written with."""
    assert fonts.runs("1\u202f000", fonts.SERIF_BOLD) == (
        (fonts.SERIF_BOLD, "1"), (fonts.SANS_BOLD, "\u202f"), (fonts.SERIF_BOLD, "000")
    )  # fmt: skip
    assert '<font name="SourceSans-Semibold">' in fonts.words("1\u202f000", TITLE.fontName)


def test_cyrillic_in_an_italic_name_stands_upright_rather_than_missing():
    assert fonts.runs("Жанна", fonts.SERIF_ITALIC) == ((fonts.SERIF, "Жанна"),)


def test_a_letter_or_mark_that_no_font_has_leaves_a_sign_that_is_seen():
    assert (
        "".join(letters for _, letters in fonts.runs("a\U00010a38")) == "a?"
    )  # a mark of Kharoshthi
    assert fonts.runs("𒀀") == ((fonts.SANS, "?"),)
    assert fonts.cannot_show("Li 中 مريم 𒀀𓀀?") == frozenset("𒀀𓀀")  # cuneiform, hieroglyphs


def test_width_adds_up_over_faces():
    whole = fonts.width("1\u202f000", 10, fonts.SERIF)
    assert whole == pytest.approx(fonts.width("1000", 10, fonts.SERIF) + fonts.width("\u202f", 10))


def test_figures_stand_in_columns():
    """Figures of one width, as a ledger needs."""
    assert len({round(fonts.width(figure, 10), 6) for figure in "0123456789"}) == 1
