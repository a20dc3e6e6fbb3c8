"""Is a drawn signature taken as it was drawn, and is what is no signature refused in words?"""

import json
import math
from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as some

from consult.core.design import Problem
from consult.core.strokes import (
    EMPTY,
    MOST_LINES,
    MOST_POINTS,
    PAD_ASPECT,
    TOO_LONG,
    TOO_SMALL,
    UNREADABLE,
    Strokes,
    as_svg_path,
    polylines,
    strokes_from,
)

# Two short initials, "J" and "l", a fifth of the box high.
INITIALS = [
    [[0.30, 0.40], [0.30, 0.55], [0.29, 0.60], [0.27, 0.58]],
    [[0.34, 0.40], [0.34, 0.60]],
]
WAVE = [[[0.1 + 0.008 * step, 0.5 + 0.3 * math.sin(step / 5)] for step in range(100)]]


@pytest.mark.parametrize("drawn", [INITIALS, WAVE], ids=["initials", "wave"])
def test_signature_is_taken(drawn: list) -> None:
    strokes = strokes_from(json.dumps(drawn))
    assert isinstance(strokes, Strokes)
    assert [len(line) for line in strokes.lines] == [len(line) for line in drawn]
    for line, posted in zip(strokes.lines, drawn, strict=True):
        for point, (x, y) in zip(line, posted, strict=True):
            assert point == pytest.approx((x, y), abs=0.00005)


@pytest.mark.parametrize("text", ["", "  ", "[]", "[[]]", "[[], []]"])
def test_empty_box_is_refused_with_what_to_do(text: str) -> None:
    assert strokes_from(text) == Problem(
        "strokes", "Please sign in the box, or type your name instead."
    )


@pytest.mark.parametrize(
    "drawn",
    [
        [[[0.5, 0.5]]],
        [[[0.5, 0.5]] * 40],
        [[[0.1, 0.5]], [[0.9, 0.5]]],  # two dots far apart hold no ink
        [[[0.5, 0.5], [0.51, 0.52], [0.5, 0.54]]],
        [[[0.5, 0.5 + 0.02 * (step % 2)] for step in range(200)]],  # much ink on one spot
    ],
    ids=["a dot", "a long press", "two dots", "a tick", "a blot"],
)
def test_mark_too_small_is_refused_with_what_to_do(drawn: list) -> None:
    assert strokes_from(json.dumps(drawn)) == TOO_SMALL
    assert "sign larger, or type your name" in TOO_SMALL.says


@pytest.mark.parametrize(
    "text",
    [
        "not JSON",
        "{}",
        "3",
        "null",
        '"0.5"',
        "[[[0.1, 0.2]",
        "[3]",
        "[[3]]",
        "[[[0.1]]]",
        "[[[0.1, 0.2, 0.3]]]",  # no pressure and no time is taken
        '[[["0.1", 0.2]]]',
        "[[[true, false]]]",
        "[[[null, 0.1]]]",
        "[[[NaN, 0.1], [0.2, 0.9]]]",
        "[[[Infinity, 0.1], [0.2, 0.9]]]",
        "[[[1e999, 0.1], [0.2, 0.9]]]",
        "[[[1" + "0" * 400 + ", 0.1], [0.2, 0.9]]]",
        "[[[-0.01, 0.1], [0.2, 0.9]]]",
        "[[[0.1, 1.01], [0.2, 0.9]]]",
        "[" * 100_000,
        "[[[[0.1, 0.2]]]]",
        '[{"x": 0.1, "y": 0.2}]',
        "[[[1" + "0" * 5000 + ", 0.1]]]",
    ],
    ids=range(23),
)
def test_what_is_not_points_in_the_box_is_refused(text: str) -> None:
    assert strokes_from(text) == UNREADABLE


def test_lines_and_points_are_bounded() -> None:
    line = [[0.1, 0.1], [0.9, 0.9]]
    assert isinstance(strokes_from(json.dumps([line] * MOST_LINES)), Strokes)
    assert strokes_from(json.dumps([line] * (MOST_LINES + 1))) == TOO_LONG
    zigzag = [[0.1 + 0.8 * (step % 2), round(step / MOST_POINTS, 4)] for step in range(MOST_POINTS)]
    assert isinstance(strokes_from(json.dumps([zigzag])), Strokes)
    assert strokes_from(json.dumps([zigzag, [[0.5, 0.5]]])) == TOO_LONG
    assert strokes_from(" " * 300_000 + "[]") == TOO_LONG


def test_dot_of_an_i_stays_beside_its_stem() -> None:
    strokes = strokes_from(json.dumps([[[0.5, 0.3], [0.5, 0.8]], [[0.5, 0.2], [0.5, 0.20001]]]))
    assert strokes == Strokes((((0.5, 0.3), (0.5, 0.8)), ((0.5, 0.2),)))


def test_canonical_form_is_one_for_one_drawing() -> None:
    first = strokes_from("[[[0.1,0.2],[0.10001,0.2],[0.5,1]],[],[[0.30004,0],[0.3,0.5]]]")
    second = strokes_from(" [[[1e-1, 0.2], [0.5, 1.0]], [[0.3, -0.0], [0.3, 0.5]]]")
    assert isinstance(first, Strokes)
    assert isinstance(second, Strokes)
    assert (
        first.canonical() == second.canonical() == ("[[[0.1,0.2],[0.5,1.0]],[[0.3,0.0],[0.3,0.5]]]")
    )
    assert sha256(first.canonical().encode()).hexdigest() == (
        sha256(second.canonical().encode()).hexdigest()
    )


@given(
    some.lists(
        some.lists(some.tuples(some.floats(0, 1), some.floats(0, 1)), max_size=20), max_size=8
    )
)
def test_canonical_form_read_back_is_the_same(drawn: list) -> None:
    strokes = strokes_from(json.dumps(drawn))
    if isinstance(strokes, Problem):
        assert strokes in (EMPTY, TOO_SMALL)
    else:
        assert strokes_from(strokes.canonical()) == strokes


def test_path_keeps_the_proportion_of_the_box_and_is_centred() -> None:
    corners = Strokes((((0.0, 0.0), (1.0, 1.0)), ((0.5, 0.5),)))
    assert PAD_ASPECT == 3
    assert as_svg_path(corners, 300, 100) == "M0.00 0.00 L300.00 100.00 M150.00 50.00 L150.00 50.00"
    assert as_svg_path(corners, 300, 200) == (
        "M0.00 50.00 L300.00 150.00 M150.00 100.00 L150.00 100.00"
    )
    assert as_svg_path(corners, 500, 100).startswith("M100.00 0.00 L400.00 100.00")


def test_polylines_for_paper_go_up_where_the_box_goes_down() -> None:
    corners = Strokes((((0.0, 0.0), (1.0, 0.75)), ((0.5, 0.5),)))
    assert polylines(corners, 300, 200) == (
        ((0.0, 150.0), (300.0, 75.0)),
        ((150.0, 100.0), (150.0, 100.0)),
    )
