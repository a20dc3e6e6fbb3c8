"""Is a drawing the same on a page and on paper, and fit for a page with a strict policy?"""

import io
import itertools
import re
import xml.etree.ElementTree as ElementTree

import pytest
from pypdf import PdfReader
from reportlab.pdfgen.canvas import Canvas

from consult.documents.outlines import (
    arc,
    bounds,
    ellipse,
    polygon,
    rectangle,
    rounded,
    smooth,
    wave,
)
from consult.documents.scene import (
    Group,
    Hatch,
    Path,
    Scene,
    Text,
    draw,
    hatch_lines,
    moved,
    to_svg,
)

SVG = "{http://www.w3.org/2000/svg}"


def scene_of(*shapes, title="a tier"):
    return Scene(tuple(shapes), 0, 0, 100, 80, title, "what it shows")


def ids(svg):
    return re.findall(r' id="([^"]+)"', svg)


def busy_scene():
    circle = ellipse(50, 40, 20)
    return scene_of(
        Path(rectangle(10, 10, 40, 30), fill="#C9D3BB", stroke="#17231F", name="tier-1"),
        Path(circle, fill=Hatch("#17231F", 4, 0.3, 45, ground="#FFFFFF"), stroke="#17231F"),
        Group((Path(rectangle(0, 0, 90, 9), fill="#E2AF8E"),), clip=circle),
        moved((Text(0, 0, "10 in round", 5, "#17231F", anchor="middle"),), 30, 30, turn=10),
    )


def test_a_drawing_names_itself_and_carries_no_style_and_no_script():
    svg = to_svg(busy_scene(), "desk")
    root = ElementTree.fromstring(svg)
    assert root.get("role") == "img"
    assert root.get("viewBox") == "0 0 100 80"
    assert root.find(f"{SVG}title").text == "a tier"
    assert root.find(f"{SVG}desc").text == "what it shows"
    assert root.get("aria-labelledby") == "desk-title"
    attributes = {name for element in root.iter() for name in element.keys()}  # noqa: SIM118  an element's own children come from iter()
    assert "style" not in attributes
    assert not [name for name in attributes if name.startswith("on")]


def test_two_drawings_on_one_page_share_no_name():
    first, second = ids(to_svg(busy_scene(), "a")), ids(to_svg(busy_scene(), "b"))
    # title, desc, the tier, one clip used twice, the words set down
    assert len(first) == len(set(first)) == 5
    assert not set(first) & set(second)


def test_every_clip_that_is_used_is_defined():
    svg = to_svg(busy_scene(), "a")
    used = re.findall(r'clip-path="url\(#([^)]+)\)"', svg)
    assert used
    assert set(used) <= set(ids(svg))


def test_a_figure_set_down_often_is_drawn_out_once():
    petal = (Path(ellipse(0, 0, 4), fill="#E2AF8E"),)
    svg = to_svg(scene_of(*(moved(petal, 10.0 * at, 40, turn=30) for at in range(6))), "a")
    root = ElementTree.fromstring(svg)
    assert len(root.findall(f".//{SVG}path")) == 1
    (drawn,) = root.findall(f".//{SVG}g[@id]")
    again = root.findall(f"{SVG}use")
    assert {one.get("href") for one in again} == {f"#{drawn.get('id')}"}
    places = [one.get("transform") for one in again]
    assert places == [f"matrix(0.866 0.5 -0.5 0.866 {10 * at} 40)" for at in range(1, 6)]


def test_words_in_a_drawing_are_escaped():
    svg = to_svg(scene_of(Text(0, 0, "<script>&\"'", 5, "#000000"), title="<b>"), 'x"><')
    root = ElementTree.fromstring(svg)
    assert root.find(f"{SVG}text").text == "<script>&\"'"
    assert root.find(f"{SVG}title").text == "<b>"


def test_a_hatch_fills_the_figure_with_lines_at_its_spacing():
    hatched = hatch_lines(rectangle(0, 0, 40, 30), Hatch("#000000", 5, 0.3, angle=0))
    starts = sorted(at[1] for letter, at in hatched.shapes[0].outline if letter == "M")
    gaps = {round(after - before, 6) for before, after in itertools.pairwise(starts)}
    assert gaps == {5}
    assert starts[0] <= 0
    assert starts[-1] >= 30


@pytest.mark.parametrize(
    ("outline", "expected"),
    [
        (rectangle(1, 2, 30, 40), (1, 2, 31, 42)),
        (polygon((0, 0), (4, 9), (8, 0)), (0, 0, 8, 9)),
        (rounded(0, 0, 20, 10, 3, 1), (0, 0, 20, 10)),
        (ellipse(5, 5, 5, 2), (0, 3, 10, 7)),
        (arc(0, 0, 10, 0, 90), (0, 0, 10, 10)),
    ],
)
def test_an_outline_keeps_to_its_measures(outline, expected):
    assert bounds(outline) == pytest.approx(expected, abs=1e-6)


def test_a_circle_drawn_by_curves_is_round():
    """One cubic a quarter errs by at most 0.0273 % of the radius (worked out from the curve itself)."""
    _, start = ellipse(0, 0, 1)[0]
    _, (ax, ay, bx, by, ex, ey) = ellipse(0, 0, 1)[1]
    for step in range(11):
        t = step / 10
        x = (
            (1 - t) ** 3 * start[0]
            + 3 * (1 - t) ** 2 * t * ax
            + 3 * (1 - t) * t * t * bx
            + t**3 * ex
        )
        y = (
            (1 - t) ** 3 * start[1]
            + 3 * (1 - t) ** 2 * t * ay
            + 3 * (1 - t) * t * t * by
            + t**3 * ey
        )
        assert (x * x + y * y) ** 0.5 == pytest.approx(1, abs=3e-4)


def test_a_smooth_line_goes_through_all_its_points():
    points = ((0, 0), (3, 5), (7, 4), (9, 9))
    ends = [at[-2:] for _, at in smooth(points)]
    assert ends == [points[0], *points[1:]]
    assert smooth(points, closed=True)[-1] == ("Z", ())


def test_a_wave_ends_level_with_where_it_began():
    outline = wave(0, 3, 40, 9, 2)
    assert outline[-1][1][-2:] == pytest.approx((40, 3))


def drawn_paths(pdf):
    """Bounding boxes, in points from the lower left, of all paths of the first page."""
    found, now = [], []

    def visit(operator, operands, matrix, _text_matrix):
        nonlocal now
        name = operator.decode()
        if name in ("m", "l", "c"):
            values = [float(one) for one in operands]
            for x, y in zip(values[0::2], values[1::2], strict=True):
                a, b, c, d, e, f = matrix
                now.append((x * a + y * c + e, x * b + y * d + f))
        elif name in ("S", "B", "f", "f*", "B*", "n", "s", "b"):
            if now:
                across, down = [x for x, _ in now], [y for _, y in now]
                found.append((min(across), min(down), max(across), max(down)))
            now = []

    PdfReader(io.BytesIO(pdf)).pages[0].extract_text(visitor_operand_before=visit)
    return found


def test_paper_shows_a_figure_where_and_as_large_as_the_page_does():
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=(400, 400), invariant=1)
    draw(scene_of(Path(rectangle(10, 20, 50, 30), fill="#C9D3BB")), canvas, 40, 300, 2.0)
    canvas.showPage()
    canvas.save()
    # 10 mm right and 20 mm down of the corner at (40, 300), at 2 points a millimetre
    assert drawn_paths(buffer.getvalue()) == [pytest.approx((60, 200, 160, 260), abs=0.01)]
