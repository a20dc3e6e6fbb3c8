"""Do parts run on down two level columns, whole, in order, under a heading that says when it is there again?"""

import pytest
from reportlab.platypus import Spacer

from consult.documents.paper import said
from consult.documents.two_columns import TwoColumns, continued

WIDE, GAP = 500, 20


def columns(*heights, head=lambda _: []):
    return TwoColumns(head, [Spacer(0, height) for height in heights], WIDE, GAP)


def high(one):
    return one.wrap(WIDE, 10_000)[1]


@pytest.mark.parametrize(
    ("heights", "wanted"),
    [((50,), 50), ((50, 50), 50), ((50, 50, 50), 100), ((90, 30, 30, 30), 90)],
)
def test_columns_are_as_level_as_whole_parts_allow(heights, wanted):
    assert high(columns(*heights)) == wanted


def test_what_does_not_fit_runs_on_under_its_heading():
    rows = columns(*[20] * 20, head=continued("Friday"))
    heading = high(rows) - 200
    first, rest = rows.split(WIDE, heading + 100)
    assert high(first) == heading + 100
    assert high(rest) == pytest.approx(heading + 100)
    words = [
        part.getPlainText() for part in continued("Friday")(True) if hasattr(part, "getPlainText")
    ]
    assert words == ["Friday, continued"]


def test_a_heading_never_stands_alone_at_the_foot():
    rows = columns(40, 40, 40, head=continued("Friday"))
    assert rows.split(WIDE, 70) == []


def test_a_part_that_fits_on_a_page_is_never_divided():
    assert columns(300, 300).split(WIDE, 200) == []


def test_a_part_higher_than_a_page_is_divided():
    long = said("words that run on " * 900)
    rows = TwoColumns(lambda _: [], [long], WIDE, GAP)
    first, rest = rows.split(WIDE, 400)
    assert high(first) <= 400
    assert high(rest) > 400
