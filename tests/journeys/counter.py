"""What do people do on the screen? Each act by the words they read there, never by place or style."""

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date

from playwright.sync_api import Locator, Page, Response, expect

from consult.flow import STEPS
from shop.sample import SAMPLE_PEOPLE
from tests.papers import words_of

BEN = next(person for person in SAMPLE_PEOPLE if person.role == "staff")
ROSA = next(person for person in SAMPLE_PEOPLE if person.role == "owner")


def log_in(page: Page, person=BEN) -> None:
    page.goto("/log-in/")
    page.get_by_label("E-mail").fill(person.email)
    page.get_by_label("Password").fill(person.password)
    page.get_by_role("button", name="Log in").click()
    page.wait_for_url(lambda url: "/log-in/" not in url)


def open_consultation(page: Page) -> int:
    """A new consultation from the desk; its number in addresses."""
    page.goto("/")
    page.get_by_role("button", name="New consultation").click()
    page.wait_for_url("**/event/")
    return consultation_on(page)


def consultation_on(page: Page) -> int:
    return int(re.search(r"/consultations/(\d+)/", page.url).group(1))


# --- going about ---


def lead_on(page: Page, to: str) -> None:
    """Press "Next: ..." and wait for that step."""
    title = next(step.title for step in STEPS if step.name == to)
    page.get_by_role("button", name=f"Next: {title.lower()}").click()
    page.wait_for_url(f"**/{to}/")


def turn_to(page: Page, step: str) -> None:
    """Tap a step on the trail."""
    title = next(each.title for each in STEPS if each.name == step)
    page.get_by_role("navigation", name="Steps").get_by_role("link", name=title).click()
    page.wait_for_url(f"**/{step}/")


@contextmanager
def being_kept(page: Page) -> Iterator[None]:
    """What is done meanwhile is sent by itself, and its answer has come back when this ends."""

    def is_an_answer(answer: Response) -> bool:
        return answer.request.method == "POST" and "hx-request" in answer.request.headers

    with page.expect_response(is_an_answer) as kept:
        yield
    assert kept.value.status == 200, kept.value.text()
    at_rest(page)


def at_rest(page: Page) -> None:
    busy = page.locator(".htmx-request, .htmx-swapping, .htmx-settling, .htmx-added")
    expect(busy).to_have_count(0)


def named(page: Page, name: str) -> Locator:
    """The field of that name, its fold opened if it lies in one."""
    field = page.locator(f'[name="{name}"]')
    unfold(field.first)
    return field


def unfold(thing: Locator) -> None:
    folds = thing.locator("xpath=ancestor::details[not(@open)]")
    while folds.count():
        folds.first.locator("> summary").click()


def choose(page: Page, name: str, words: str) -> None:
    """Tick the choice that says exactly this."""
    field = page.locator(f'[name="{name}"]')
    label = page.locator("label", has=field).filter(
        has_text=re.compile(rf"^\s*{re.escape(words)}\s*$")
    )
    unfold(label)
    label.locator("input").check()


# --- the steps ---


def say_event(
    page: Page,
    *,
    client: str,
    occasion: str,
    on: date | str,
    at: str = "14:00",
    delivered_km: int | None = None,
    venue: str = "",
    email: str = "",
    phone: str = "",
    free_of: Sequence[str] = (),
    notes: str = "",
) -> None:
    page.get_by_label("Client's name").fill(client)
    page.get_by_label("E-mail").fill(email)
    page.get_by_label("Phone").fill(phone)
    page.get_by_label("Occasion").fill(occasion)
    page.get_by_label("Date of the event").fill(str(on))
    delivered = "We deliver it" if delivered_km is not None else "The client collects it"
    choose(page, "hand_over_how", delivered)
    page.get_by_label("Hand-over time").fill(at)
    if delivered_km is not None:
        page.get_by_label("Distance one way").fill(str(delivered_km))
    page.get_by_label("Venue or address").fill(venue)
    for word in free_of:
        choose(page, "avoid", word)
    named(page, "notes").fill(notes)


def say_servings(page: Page, *, guests: int, slice_name: str = "Dessert slice") -> None:
    named(page, "guests").fill(str(guests))
    page.get_by_role("radio", name=re.compile(slice_name)).check()


def cards(page: Page, words: str = "") -> Locator:
    """The stacks offered, or those whose card says these words."""
    return page.get_by_role("button").and_(page.locator('[name="stack"]')).filter(has_text=words)


def tiers_on(page: Page) -> int:
    """How many tiers the step asks about."""
    names = page.locator("[name]").evaluate_all("fields => fields.map(field => field.name)")
    places = {name.rsplit("_", 1)[1] for name in names if re.fullmatch(r"[a-z]+_\d", name)}
    return len(places)


def draw_signature(page: Page) -> None:
    """Two lines with a finger in the box."""
    box = page.get_by_role("img", name="signature")
    box.scroll_into_view_if_needed()
    screen = page.context.new_cdp_session(page)
    place = box.bounding_box()

    def touch(kind: str, *points: tuple[float, float]) -> None:
        at = [
            {"x": place["x"] + x * place["width"], "y": place["y"] + y * place["height"]}
            for x, y in points
        ]
        screen.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})

    for line in (
        ((0.15, 0.7), (0.25, 0.2), (0.35, 0.7), (0.45, 0.4)),
        ((0.55, 0.6), (0.7, 0.3), (0.85, 0.6)),
    ):
        touch("touchStart", line[0])
        for point in line[1:]:
            touch("touchMove", point)
        touch("touchEnd")


# --- what stands there ---


FIGURE = r"(?:[$€][\d,]+\.\d\d|\d+ h(?: \d\d min)?|\d+ min)"


def figure(page: Page, what: str) -> str:
    """The amount in the step's ledger beside these words: figure(page, "Total")."""
    term = page.get_by_role("term").filter(has_text=re.compile(rf"^\s*{what}\b"))
    row = page.get_by_role("main").locator("dl > div", has=term)
    return row.get_by_role("definition").first.inner_text().strip()


def beside(page: Page, what: str) -> str:
    """The amount or the work time that the cake so far says after these words."""
    words = panel(page).inner_text()
    found = re.search(rf"^{what}\b.*?({FIGURE})", words, re.MULTILINE | re.DOTALL)
    assert found, f"{what} is not in: {words}"
    return found.group(1)


def panel(page: Page) -> Locator:
    return page.get_by_role("complementary", name="The cake so far")


def servings_so_far(page: Page) -> int:
    return int(re.search(r"^([\d,]+)\s+servings", panel(page).inner_text(), re.MULTILINE).group(1))


def paper(page: Page, link: str) -> str:
    """The words of a PDF that the page links to."""
    address = page.get_by_role("link", name=link).first.get_attribute("href")
    answer = page.request.get(address)
    assert answer.headers["content-type"] == "application/pdf"
    return words_of(answer.body())


def runs_over(page: Page) -> int:
    """By how many pixels the page is wider than the screen."""
    return page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
