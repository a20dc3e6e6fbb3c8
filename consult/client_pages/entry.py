"""How does a private link open? It is exchanged for a narrow session and an address with no secret in it."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.urls import reverse
from django.views.decorators.http import require_safe

from consult import limits
from consult.actions import links
from consult.actions.links import Standing
from consult.models import PrivateLink, Purpose
from consult.page import whole_number

_KEY = "for_you"  # the links opened in this browser, by their row's number, last opened last
_MOST_OPENED = 12
GUESSES, WITHIN = 30, 60  # links that open nothing, from one address, in so many seconds

PAGES = {
    Purpose.DESIGNS: "consult:for_you_designs",
    Purpose.SHEET: "consult:for_you_sheet",
    Purpose.PAY: "consult:for_you_pay",
}

View = Callable[..., HttpResponse]


def kept_quiet(view: View) -> View:
    """A client's page: open without a log-in, kept by nobody, found by no search."""

    @login_not_required
    @wraps(view)
    def quiet(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        answer = view(request, *args, **kwargs)
        answer["Cache-Control"] = "private, no-store"
        answer["X-Robots-Tag"] = "noindex, nofollow, noarchive"
        if not answer.has_header("Referrer-Policy"):
            # To nobody but ourselves: with no-referrer a browser sends a form with "Origin: null", which the
            # guard against forged forms refuses. There is no secret in the addresses of these pages.
            answer["Referrer-Policy"] = "same-origin"
        return answer

    return quiet


def gone(status: int = 404) -> HttpResponse:
    """The one page for every link that opens nothing, whatever the reason: nothing of the request is in it."""
    page = render_to_string(f"client/gone_{status}.html")
    answer = HttpResponse(page, status=status)
    answer["Referrer-Policy"] = "no-referrer"
    if status == 429:
        answer["Retry-After"] = str(WITHIN)
    return answer


@login_not_required
@require_safe
def robots(request: HttpRequest) -> HttpResponse:
    """Searches keep out of private links: the beginning of their addresses is all that is named."""
    return HttpResponse("User-agent: *\nDisallow: /for-you/\n", content_type="text/plain")


@kept_quiet
@require_safe
def open_link(request: HttpRequest, token: str) -> HttpResponse:
    """Exchange the token for a session that is good for its link alone, and lead to its page."""
    link = links.find(token)
    if link is None or links.standing(link) is not Standing.OPEN:
        who = limits.neighbourhood(limits.address_of(request))
        within = limits.allowed("links", who, most=GUESSES, seconds=WITHIN)
        return gone() if within else gone(429)
    opened = [pk for pk in request.session.get(_KEY, []) if pk != link.pk]
    request.session.cycle_key()  # a session that somebody else chose beforehand gets nothing
    request.session[_KEY] = [*opened, link.pk][-_MOST_OPENED:]
    answer = HttpResponse(status=303)
    answer["Location"] = reverse(PAGES[Purpose(link.purpose)])
    answer["Referrer-Policy"] = "no-referrer"
    return answer


def opened_links(request: HttpRequest, *purposes: Purpose) -> list[PrivateLink]:
    """The links of these purposes that were opened in this browser, last opened first, whatever their standing."""
    opened: list[int] = request.session.get(_KEY, [])
    rows = PrivateLink.objects.select_related("consultation__edition", "sheet", "designs")
    found = rows.filter(pk__in=opened, purpose__in=purposes) if opened else []
    return sorted(found, key=lambda link: -opened.index(link.pk))


def link_at_hand(request: HttpRequest, *purposes: Purpose) -> PrivateLink | None:
    """The link a page is shown by: the one its form or address names, else the one opened last.

    Only links opened in this browser count, so the number alone opens nothing.
    """
    opened = opened_links(request, *purposes)
    named = whole_number(request, "link") if request.method == "POST" else _asked_for(request)
    if named is not None:
        opened = [link for link in opened if link.pk == named]
    return opened[0] if opened else None


def _asked_for(request: HttpRequest) -> int | None:
    typed = request.GET.get("link", "")
    return int(typed) if typed.isascii() and typed.isdigit() and len(typed) <= 9 else None
