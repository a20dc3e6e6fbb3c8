"""Can the pages be read, reached and tapped? Contrast, targets, width and focus, in a real browser."""

import re
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings

CSS = Path(settings.ROOT) / "static" / "css"

# --- colours ---


def tokens(block):
    return dict(re.findall(r"--([\w-]+): (#[0-9A-Fa-f]{6})", block))


def themes():
    """Colours by name, light and dark, as the style sheet has them (dark twice: by device, by switch)."""
    text = (CSS / "base.css").read_text(encoding="utf-8")
    light = re.search(r"\n:root \{(.*?)\n\}", text, re.S).group(1)
    by_device = re.search(r':root:not\(\[data-theme="light"\]\) \{(.*?)\n  \}', text, re.S).group(1)
    by_switch = re.search(r'\n:root\[data-theme="dark"\] \{(.*?)\n\}', text, re.S).group(1)
    assert tokens(by_device) == tokens(by_switch)
    return {"light": tokens(light), "dark": tokens(by_device)}


def luminance(colour):
    """Relative luminance of WCAG 2.2."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_the_contrast_formula_is_right():
    """WCAG 2.2: black on white is 21:1; #767676 on white is the grey that just passes 4.5:1."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(
    ("text", "grounds", "least"),
    [
        (
            "ink",
            ["paper", "sheet", "wash", "brick-wash", "indigo-wash", "green-wash", "ochre-wash"],
            7,
        ),
        ("soft", ["paper", "sheet"], 7),
        ("soft", ["wash"], 4.5),
        ("green", ["paper", "sheet"], 7),
        ("on-green", ["green", "green-pressed"], 7),
        ("green", ["green-wash"], 4.5),
        ("brick", ["paper", "sheet", "brick-wash"], 4.5),
        ("ochre-text", ["paper", "sheet", "ochre-wash"], 4.5),
        ("indigo", ["paper", "sheet", "indigo-wash"], 4.5),
        ("on-ochre", ["ochre"], 7),
        ("line", ["paper", "sheet"], 3),
    ],
)
def test_words_and_borders_stand_out(theme, text, grounds, least):
    """WCAG 2.2: 1.4.6 text 7:1, 1.4.3 text 4.5:1, 1.4.11 controls 3:1."""
    colours = themes()[theme]
    found = {ground: round(contrast(colours[text], colours[ground]), 2) for ground in grounds}
    assert {ground: ratio for ground, ratio in found.items() if ratio < least} == {}


# --- pages in a browser ---

TOO_SMALL = """() => [...document.querySelectorAll('a, button, summary, input, select, textarea')]
  .filter(e => e.checkVisibility({visibilityProperty: true}) && e.type !== 'hidden' && !e.closest('p, .skip, label'))
  .map(e => [e.tagName, e.textContent.trim() || e.name, e.getBoundingClientRect()])
  .filter(([, , box]) => box.height < 47.5 || box.width < 47.5)
  .map(([tag, name, box]) => `${tag} ${name} ${box.width}x${box.height}`)"""
TOO_WIDE = "document.documentElement.scrollWidth - document.documentElement.clientWidth"

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def visit(open_page, rosa):
    def go(path, screen, **options):
        page = open_page(screen, person=None if path == "/log-in/" else rosa, **options)
        page.goto(path)
        return page

    return go


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("screen", ["tablet", "tablet upright", "phone", "small phone"])
@pytest.mark.parametrize("path", ["/log-in/", "/account/"])
def test_everything_can_be_tapped_and_nothing_runs_over_the_edge(visit, path, screen, scheme):
    page = visit(path, screen, color_scheme=scheme)

    assert page.evaluate(TOO_SMALL) == []
    assert page.evaluate(TOO_WIDE) == 0
    assert page.complaints == []
    assert page.evaluate("document.fonts.check('600 20px \"Source Serif\"')")
    assert Axe().run(page).response["violations"] == []


@pytest.mark.browser
def test_a_refused_form_leads_from_its_summary_into_the_field(visit):
    page = visit("/log-in/", "phone")
    page.get_by_role("button", name="Log in").click()

    page.wait_for_selector(".error-summary")
    assert page.evaluate("document.activeElement.className") == "error-summary"
    page.get_by_role("link", name="Password: Type your password.").click()
    assert page.evaluate("document.activeElement.id") == "id_password"
    assert page.title().startswith("Error: ")


@pytest.mark.browser
def test_somebody_logs_in_by_keys_alone(open_page, ben):
    page = open_page("tablet")
    page.goto("/log-in/")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Tab")
    page.keyboard.type("ben@example.org")
    page.keyboard.press("Tab")
    page.keyboard.type("eleven cake boards")
    page.keyboard.press("Enter")
    page.wait_for_url(lambda url: "/log-in/" not in url)


@pytest.mark.browser
def test_the_colours_are_switched_and_stay_switched(visit):
    page = visit("/account/", "tablet", color_scheme="light")
    page.get_by_text("Menu", exact=True).click()
    page.get_by_role("button", name="Use dark colours").click()
    page.reload()

    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(18, 26, 24)"


@pytest.mark.browser
def test_without_script_the_pages_still_work(open_page, ben):
    page = open_page("phone", java_script_enabled=False)
    page.goto("/log-in/")
    page.fill("[name=username]", "ben@example.org")
    page.fill("[name=password]", "eleven cake boards")
    page.get_by_role("button", name="Log in").click()
    page.goto("/account/")
    page.get_by_text("Menu", exact=True).click()
    page.get_by_role("button", name="Log out").click()

    assert page.url.endswith("/log-in/")
