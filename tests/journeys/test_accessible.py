"""Can everybody use every page? WCAG by axe, targets and width, on tablet and phone, light and dark."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.db import transaction
from django.urls import reverse

from consult.actions import links
from consult.core.design import ChosenDecoration, Kind, Swatch
from consult.flow import NAMES
from consult.models import Purpose
from shop.models import Person
from shop.sample_setup import sample_book
from tests.consultations import make_consultation
from tests.journeys.counter import BEN, ROSA, being_kept, runs_over
from tests.makers import make_design
from tests.pictures import cake, written

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# 44 px: WCAG 2.2, 2.5.5 Target Size (Enhanced), which leaves out links in running text. What a label covers is
# reached by the label; what a keyboard or a script alone presses is no target.
TOO_SMALL = """() => [...document.querySelectorAll('a, button, summary, input, select, textarea')]
  .filter(e => e.checkVisibility({visibilityProperty: true, opacityProperty: true}))
  .filter(e => e.type !== 'hidden' && !e.closest('.skip, [aria-hidden=true]'))
  .filter(e => !(e.matches('p a, li a, td a, th a, dd a, label a') && getComputedStyle(e).display === 'inline'))
  .map(e => [e, (e.closest('label') || e).getBoundingClientRect()])
  .filter(([, box]) => Math.max(box.height, box.width) < 44 || Math.min(box.height, box.width) < 24)
  .map(([e, box]) => `${e.localName} ${e.textContent.trim().slice(0, 30) || e.name} ${box.width}x${box.height}`)"""


@pytest.fixture
def row(open_page):
    """A wedding with everything answered: a kept tier, colours, decorations, a picture, a second design."""
    rosa = Person.objects.get(email=ROSA.email)
    design = make_design(
        (14, 10, 8, 6),
        keep_top=True,
        flavour="hazelnut-brown-butter",
        filling="fig-jam",
        finish="white-fondant",
        decorations=[
            ChosenDecoration("sugar-rose", 5, 3, note="in a crescent"),
            ChosenDecoration("pearl-border", 1, None),
        ],
        swatches=(Swatch("dusty rose", "#c9a0a0"),),
    )
    assert design.tiers[-1].kind is Kind.KEPT
    row = make_consultation(
        rosa,
        book=sample_book(),
        design=design,
        guests=120,
        avoid=["peanut"],
        notes="Ivory cloth.",
        keep_top=True,
    )
    page = open_page("tablet", person=rosa)
    page.goto(f"/consultations/{row.pk}/photos/")
    with being_kept(page):
        page.get_by_label("Pictures from this device").set_input_files(
            {"name": "cake.png", "mimeType": "image/png", "buffer": written(cake(), "PNG")}
        )
    page.goto(f"/consultations/{row.pk}/sheet/")
    page.get_by_role("button", name="Make the sheet for signing").click()
    page.wait_for_url("**/signing/")
    return row


# Contrast is what takes the time, and the colours are the same on every screen: a wide one is looked over whole in
# light and for its colours in dark, a narrow one whole in dark.
WHOLE, COLOURS = None, {"runOnly": ["color-contrast", "link-in-text-block"]}
WIDE, NARROW = {"light": WHOLE, "dark": COLOURS}, {"dark": WHOLE}


def looked_over(page):
    """What is wrong with the page, its folds open, as it is and as narrow as 320 px."""
    wrong = []
    page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true; })")
    for scheme, options in (WIDE if page.viewport_size["width"] > 600 else NARROW).items():
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        for fault in Axe().run(page, options=options).response["violations"]:
            places = "; ".join(node["html"][:160] for node in fault["nodes"][:3])
            wrong.append(f"{scheme}: {fault['id']}: {places}")
    wrong += [f"too small: {words}" for words in page.evaluate(TOO_SMALL)]
    size = page.viewport_size
    if over := runs_over(page):
        wrong.append(f"{over} px over the edge of {size['width']}")
    page.set_viewport_size({"width": 320, "height": 640})
    if over := runs_over(page):
        wrong.append(f"{over} px over the edge of 320")
    page.set_viewport_size(size)
    wrong += [f"complains: {words}" for words in page.complaints]
    page.complaints.clear()
    return "".join(f"{page.url} {words}\n" for words in wrong)


@pytest.mark.parametrize("screen", ["tablet", "phone"])
def test_every_step_of_a_consultation(open_page, row, screen):
    page = open_page(screen, person=Person.objects.get(email=BEN.email))
    wrong = ""
    for step in NAMES:
        page.goto(reverse(f"consult:{step}", args=[row.pk]))
        wrong += looked_over(page)
    assert not wrong, wrong


@pytest.mark.parametrize("screen", ["tablet", "phone"])
def test_pages_around_the_consultation_and_the_clients_own(open_page, row, screen):
    stranger = open_page(screen)
    stranger.goto("/log-in/")
    wrong = looked_over(stranger)

    page = open_page(screen, person=Person.objects.get(email=BEN.email))
    for name in ("desk", "overview", "record"):
        page.goto(reverse(f"consult:{name}", args=[] if name == "desk" else [row.pk]))
        wrong += looked_over(page)
    page.goto(reverse("consult:signing", args=[row.pk]))
    page.get_by_role("button", name="Hand over to client").click()
    page.get_by_role("heading", name="Your design sheet").wait_for()
    wrong += looked_over(page)
    page.get_by_role("link", name="Back to the shop").click()
    page.get_by_label("Password").wait_for()
    wrong += looked_over(page)
    assert not wrong, wrong


def test_pages_that_a_client_opens_from_home(open_page, row):
    """The inquiry, a sheet to sign by private link, and the check of a paper: on a phone."""
    rosa = Person.objects.get(email=ROSA.email)
    with transaction.atomic():
        sheet = row.sheets.get()
        token = links.make_link(row, Purpose.SHEET, by=rosa, sheet=sheet)
    page = open_page("phone")
    wrong = ""
    for path in ("/inquire/", links.path_of(token), "/check-a-paper/"):
        page.goto(path)
        wrong += looked_over(page)
    assert not wrong, wrong


@pytest.mark.parametrize("screen", ["tablet", "phone"])
def test_pages_of_the_owner(open_page, screen):
    page = open_page(screen, person=Person.objects.get(email=ROSA.email))
    wrong = ""
    for name in ("shop", "shop_prices", "shop_hours"):
        page.goto(reverse(name))
        wrong += looked_over(page)
    page.goto(reverse("shop"))
    page.get_by_role("main").get_by_role("link", name="Decorations").first.click()
    wrong += looked_over(page)
    assert not wrong, wrong
