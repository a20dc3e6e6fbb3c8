"""Does the signature box keep what a client draws, whatever the hand, the pen and the tablet do?"""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from consult.core.strokes import MOST_LINES, MOST_POINTS, PAD_ASPECT, Strokes, strokes_from

pytestmark = pytest.mark.browser

STATIC = Path(__file__).parents[2] / "static"
SCRIPT, STYLE = STATIC / "js" / "signature-pad.js", STATIC / "css" / "sign.css"
PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Sign</title>
<meta name="viewport" content="width=device-width, initial-scale=1"></head>
<body><form><div data-signature-pad data-for="id_strokes"></div>
<input type="hidden" name="strokes" id="id_strokes" value="">
<label>Or type your name <input name="typed" id="id_typed"></label>
<button type="reset">Start again</button></form></body></html>"""


@pytest.fixture
def tablet(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(
        viewport={"width": 1180, "height": 820}, has_touch=True, device_scale_factor=2
    )
    yield context
    context.close()


@pytest.fixture
def page(tablet: BrowserContext) -> Page:
    return opened_page(tablet)


def opened_page(tablet: BrowserContext) -> Page:
    page = tablet.new_page()
    page.set_content(PAGE)
    page.add_style_tag(path=STYLE)
    page.add_script_tag(path=SCRIPT)
    page.locator("canvas").wait_for()
    return page


def posted(page: Page) -> str:
    return page.locator("#id_strokes").input_value()


def drawn(page: Page) -> list:
    return json.loads(posted(page) or "[]")


def box_of(page: Page) -> dict:
    box = page.locator("canvas").bounding_box()
    assert box is not None
    return box


def at(page: Page, x: float, y: float) -> tuple[float, float]:
    box = box_of(page)
    return box["x"] + x * box["width"], box["y"] + y * box["height"]


def draw_with_mouse(page: Page, *points: tuple[float, float], steps: int = 8) -> None:
    page.mouse.move(*at(page, *points[0]))
    page.mouse.down()
    for point in points[1:]:
        page.mouse.move(*at(page, *point), steps=steps)
    page.mouse.up()


class Fingers:
    """Touches, each by its own number, as the screen reports them."""

    def __init__(self, page: Page) -> None:
        self.page, self.session = page, page.context.new_cdp_session(page)
        self.down: dict[int, tuple[float, float]] = {}

    def _send(self, kind: str) -> None:
        points = [{"x": x, "y": y, "id": number} for number, (x, y) in self.down.items()]
        self.session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    def press(self, number: int, x: float, y: float) -> None:
        self.down[number] = at(self.page, x, y)
        self._send("touchStart")

    def move(self, number: int, x: float, y: float) -> None:
        self.down[number] = at(self.page, x, y)
        self._send("touchMove")

    def lift(self, number: int) -> None:
        del self.down[number]
        # the browser takes a number that is missing from a move as lifted
        self._send("touchMove" if self.down else "touchEnd")


def bounds(lines: list) -> tuple[float, float, float, float]:
    across = [x for line in lines for x, _ in line]
    down = [y for line in lines for _, y in line]
    return min(across), min(down), max(across), max(down)


def inked(page: Page) -> tuple[float, float, float, float]:
    """Where there is ink on the canvas, 0 to 1 across it: left, top, right, bottom."""
    return tuple(
        page.evaluate(
            """() => { const c = document.querySelector("canvas");
            const d = c.getContext("2d").getImageData(0, 0, c.width, c.height).data;
            let [l, t, r, b] = [1e9, 1e9, -1, -1];
            for (let y = 0; y < c.height; y++) for (let x = 0; x < c.width; x++)
              if (d[4 * (y * c.width + x) + 3] > 127) {
                l = Math.min(l, x); r = Math.max(r, x); t = Math.min(t, y); b = Math.max(b, y); }
            return r < 0 ? [] : [l/c.width, t/c.height, (r + 1)/c.width, (b + 1)/c.height]; }"""
        )
    )


def test_mouse_draws_lines_that_are_taken_as_a_signature(page: Page) -> None:
    draw_with_mouse(page, (0.2, 0.3), (0.3, 0.8), (0.4, 0.3))
    draw_with_mouse(page, (0.5, 0.5), (0.8, 0.5))
    lines = drawn(page)
    assert len(lines) == 2
    assert bounds(lines) == pytest.approx((0.2, 0.3, 0.8, 0.8), abs=0.01)
    assert len(lines[0]) > 10
    assert isinstance(strokes_from(posted(page)), Strokes)
    assert inked(page) == pytest.approx((0.2, 0.3, 0.8, 0.8), abs=0.02)


def test_finger_draws_and_does_not_scroll_the_page(page: Page) -> None:
    page.evaluate("document.body.style.height = '5000px'")
    finger = Fingers(page)
    finger.press(1, 0.2, 0.2)
    for step in range(1, 11):
        finger.move(1, 0.2 + 0.03 * step, 0.2 + 0.06 * step)
    finger.lift(1)
    assert bounds(drawn(page)) == pytest.approx((0.2, 0.2, 0.5, 0.8), abs=0.01)
    assert page.evaluate("scrollY") == 0
    assert page.locator("canvas").evaluate("c => getComputedStyle(c).touchAction") == "none"
    assert page.locator("body").evaluate("b => getComputedStyle(b).touchAction") == "auto"


def test_second_finger_or_palm_draws_nothing(page: Page) -> None:
    hand = Fingers(page)
    hand.press(1, 0.2, 0.2)
    hand.move(1, 0.3, 0.3)
    hand.press(2, 0.8, 0.9)
    hand.move(2, 0.9, 0.9)
    hand.move(1, 0.4, 0.4)
    hand.lift(2)
    hand.move(1, 0.5, 0.5)
    hand.lift(1)
    lines = drawn(page)
    assert len(lines) == 1
    assert bounds(lines) == pytest.approx((0.2, 0.2, 0.5, 0.5), abs=0.01)
    draw_with_mouse(page, (0.6, 0.6), (0.7, 0.7))
    assert len(drawn(page)) == 2


PEN = """([kind, id, type, x, y, between]) => {
  const event = new PointerEvent(kind, {pointerId: id, pointerType: type, clientX: x, clientY: y,
    button: kind === "pointermove" ? -1 : 0, bubbles: true, cancelable: true});
  event.getCoalescedEvents = () => between.map(([cx, cy]) =>
    new PointerEvent(kind, {pointerId: id, pointerType: type, clientX: cx, clientY: cy}));
  const canvas = document.querySelector("canvas");
  canvas.setPointerCapture = () => {};
  canvas.dispatchEvent(event); }"""


def pointer(page: Page, kind: str, number: int, hand: str, x: float, y: float, *between) -> None:
    points = [at(page, *point) for point in between]
    page.evaluate(PEN, [kind, number, hand, *at(page, x, y), points])


def test_pen_takes_over_from_the_palm_that_came_first(page: Page) -> None:
    pointer(page, "pointerdown", 1, "touch", 0.9, 0.9)
    pointer(page, "pointermove", 1, "touch", 0.95, 0.9)
    pointer(page, "pointerdown", 2, "pen", 0.2, 0.2)
    pointer(page, "pointermove", 1, "touch", 0.99, 0.9)
    pointer(page, "pointermove", 2, "pen", 0.4, 0.6)
    pointer(page, "pointerup", 2, "pen", 0.5, 0.6)
    pointer(page, "pointerup", 1, "touch", 0.99, 0.9)
    assert drawn(page) == [[[0.2, 0.2], [0.4, 0.6], [0.5, 0.6]]]


def test_every_point_between_two_frames_is_kept(page: Page) -> None:
    pointer(page, "pointerdown", 1, "pen", 0.1, 0.5)
    between = [(0.2, 0.2), (0.3, 0.8), (0.4, 0.5)]
    pointer(page, "pointermove", 1, "pen", 0.4, 0.5, *between)
    pointer(page, "pointerup", 1, "pen", 0.4, 0.5)
    assert drawn(page) == [[[0.1, 0.5], [0.2, 0.2], [0.3, 0.8], [0.4, 0.5]]]


def test_line_that_the_system_takes_away_is_dropped_and_others_stay(page: Page) -> None:
    draw_with_mouse(page, (0.2, 0.2), (0.4, 0.4))
    before = drawn(page)
    pointer(page, "pointerdown", 7, "touch", 0.6, 0.6)
    pointer(page, "pointermove", 7, "touch", 0.7, 0.7)
    pointer(page, "pointercancel", 7, "touch", 0.7, 0.7)
    assert drawn(page) == before
    draw_with_mouse(page, (0.6, 0.2), (0.7, 0.4))
    assert len(drawn(page)) == 2


def test_pen_that_leaves_the_box_stays_at_its_edge(page: Page) -> None:
    draw_with_mouse(page, (0.9, 0.5), (1.2, 1.6))
    assert bounds(drawn(page))[2:] == (1, 1)
    assert isinstance(strokes_from(posted(page)), Strokes)


def test_right_button_draws_nothing(page: Page) -> None:
    page.mouse.move(*at(page, 0.2, 0.2))
    page.mouse.down(button="right")
    page.mouse.move(*at(page, 0.5, 0.5))
    page.mouse.up(button="right")
    assert posted(page) == ""


@pytest.mark.parametrize("size", [(820, 1180), (390, 844), (1180, 500)])
def test_turning_the_tablet_keeps_the_signature(page: Page, size: tuple[int, int]) -> None:
    draw_with_mouse(page, (0.2, 0.2), (0.5, 0.9), (0.8, 0.2))
    before, ink, width = posted(page), inked(page), box_of(page)["width"]
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.wait_for_timeout(100)
    box = box_of(page)
    assert box["width"] < width or size[0] == 1180
    assert box["width"] / box["height"] == pytest.approx(PAD_ASPECT, rel=0.01)
    assert posted(page) == before
    assert inked(page) == pytest.approx(ink, abs=0.01)
    page.set_viewport_size({"width": 1180, "height": 820})
    page.wait_for_timeout(100)
    assert posted(page) == before
    assert inked(page) == pytest.approx(ink, abs=0.001)
    draw_with_mouse(page, (0.1, 0.5), (0.9, 0.5))
    assert bounds(drawn(page)) == pytest.approx((0.1, 0.2, 0.9, 0.9), abs=0.01)


def test_sharp_on_a_fine_screen(page: Page) -> None:
    assert page.locator("canvas").evaluate("c => c.width") == pytest.approx(
        2 * box_of(page)["width"], abs=1
    )


def test_undo_takes_the_last_line_and_clear_takes_all(page: Page) -> None:
    undo, clear = page.get_by_role("button", name="Undo"), page.get_by_role("button", name="Clear")
    assert undo.is_disabled()
    assert clear.is_disabled()
    for place in (0.2, 0.5, 0.8):
        draw_with_mouse(page, (place, 0.2), (place, 0.8))
    undo.click()
    assert bounds(drawn(page)) == pytest.approx((0.2, 0.2, 0.5, 0.8), abs=0.01)
    assert inked(page)[2] == pytest.approx(0.5, abs=0.01)
    clear.click()
    assert posted(page) == ""
    assert inked(page) == ()
    assert page.get_by_role("status").inner_text() == "The box is empty."
    assert undo.is_disabled()


def test_buttons_work_by_key_and_do_not_send_the_form(page: Page) -> None:
    draw_with_mouse(page, (0.2, 0.2), (0.2, 0.8))
    address = page.url
    page.get_by_role("button", name="Undo").focus()
    page.keyboard.press("Enter")
    assert posted(page) == ""
    assert page.url == address
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.id") == "id_typed"


def test_start_again_empties_the_box(page: Page) -> None:
    draw_with_mouse(page, (0.2, 0.2), (0.2, 0.8))
    page.get_by_role("button", name="Start again").click()
    assert posted(page) == ""
    assert inked(page) == ()


def test_box_is_never_filled_beforehand(tablet: BrowserContext) -> None:
    first = opened_page(tablet)
    draw_with_mouse(first, (0.2, 0.2), (0.2, 0.8))
    assert drawn(first)
    second = tablet.new_page()
    second.set_content(PAGE.replace('value=""', 'value="[[[0.1,0.1],[0.9,0.9]]]"'))
    second.add_script_tag(path=SCRIPT)
    assert posted(second) == ""
    assert inked(second) == ()
    draw_with_mouse(second, (0.2, 0.2), (0.2, 0.8))
    second.evaluate("dispatchEvent(new PageTransitionEvent('pageshow', {persisted: true}))")
    assert posted(second) == ""


def test_box_in_a_step_that_is_swapped_in_is_set_up_once(page: Page) -> None:
    page.evaluate(
        """() => { const form = document.querySelector("form"), fresh = form.cloneNode(true);
        form.replaceWith(fresh);
        fresh.dispatchEvent(new CustomEvent("htmx:load", {bubbles: true})); }"""
    )
    page.add_script_tag(path=SCRIPT)
    assert page.locator("canvas").count() == 1
    draw_with_mouse(page, (0.2, 0.2), (0.2, 0.8))
    assert len(drawn(page)) == 1


def test_bounds_are_those_that_the_reader_of_the_lines_has(page: Page) -> None:
    page.evaluate(
        """most => { const canvas = document.querySelector("canvas"); canvas.setPointerCapture = () => {};
        const box = canvas.getBoundingClientRect();
        const send = (kind, x, y) => canvas.dispatchEvent(new PointerEvent(kind, {pointerId: 1,
          clientX: box.x + x * box.width, clientY: box.y + y * box.height, button: 0}));
        for (let n = 0; n < 3; n++) { send("pointerdown", 0, 0);
          for (let i = 0; i < most / 2; i++) send("pointermove", i % 2, (i % 100) / 100);
          send("pointerup", 1, 1); } }""",
        MOST_POINTS,
    )
    assert sum(map(len, drawn(page))) == MOST_POINTS
    assert isinstance(strokes_from(posted(page)), Strokes)
    draw_with_mouse(page, (0.2, 0.2), (0.4, 0.4))
    assert sum(map(len, drawn(page))) == MOST_POINTS
    assert "full" in page.get_by_role("status").inner_text()
    page.get_by_role("button", name="Clear").click()
    page.evaluate(
        """most => { const canvas = document.querySelector("canvas"); canvas.setPointerCapture = () => {};
        const box = canvas.getBoundingClientRect();
        for (let n = 0; n < most + 20; n++) for (const kind of ["pointerdown", "pointerup"])
          canvas.dispatchEvent(new PointerEvent(kind, {pointerId: 1, button: 0,
            clientX: box.x + n, clientY: box.y + (kind === "pointerup" ? 60 : 10)})); }""",
        MOST_LINES,
    )
    assert len(drawn(page)) == MOST_LINES
    assert isinstance(strokes_from(posted(page)), Strokes)


def test_without_a_canvas_the_client_is_told_to_type(tablet: BrowserContext) -> None:
    page = tablet.new_page()
    page.set_content(PAGE)
    page.evaluate("HTMLCanvasElement.prototype.getContext = () => null")
    page.add_script_tag(path=SCRIPT)
    assert page.locator("canvas").count() == 0
    assert "please type your name" in page.locator("[data-signature-pad]").inner_text()
    page.locator("#id_typed").fill("Ann Holm")
    assert page.locator("#id_typed").input_value() == "Ann Holm"


def test_without_script_there_is_only_the_typed_name(browser: Browser) -> None:
    page = browser.new_context(java_script_enabled=False).new_page()
    page.set_content(PAGE)
    assert page.locator("[data-signature-pad] *").count() == 0
    assert [button.inner_text() for button in page.get_by_role("button").all()] == ["Start again"]
    assert page.locator("#id_typed").is_visible()
    page.context.close()


def test_strict_content_policy_lets_the_box_work(tablet: BrowserContext) -> None:
    page = tablet.new_page()
    page.route(
        "**/sign",
        lambda route: route.fulfill(
            body=PAGE.replace("</form>", '</form><script src="/pad.js"></script>'),
            content_type="text/html",
            headers={
                "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'",
            },
        ),
    )
    page.route(
        "**/pad.js",
        lambda route: route.fulfill(body=SCRIPT.read_text(), content_type="text/javascript"),
    )
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto("http://shop.test/sign")
    page.locator("canvas").wait_for()
    draw_with_mouse(page, (0.2, 0.2), (0.2, 0.8))
    assert len(drawn(page)) == 1
    assert box_of(page)["width"] / box_of(page)["height"] == pytest.approx(PAD_ASPECT, rel=0.01)
    assert [words for words in said if "favicon" not in words] == []
