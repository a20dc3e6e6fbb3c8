"""The pages around the flow: the desk, one consultation at a glance, its record, and what is done to it whole."""

import secrets
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from consult import drawings
from consult.actions import consultations, designs, sheets
from consult.actions.keeping import KeyMismatch, Overtaken, Settled
from consult.bench_papers import PAPERS
from consult.core.bench import bench_of
from consult.core.quantities import quantities_of
from consult.core.signing import Link, verify_chain
from consult.core.worth import worth_of
from consult.finding import consultation_at_hand, designs_side_by_side, on_the_desk, total_by
from consult.inquiry.at_hand import inquiry_shown
from consult.models import Consultation, State
from consult.money_pages import money_context
from consult.page import keys_of, once_for, seen_on, trail_of
from consult.sending_pages import sending_shown
from shop.access import owner_only
from shop.core.book import digest
from shop.models import current_book

ON_A_PAGE = 60


@contextmanager
def refusals_shown(request: HttpRequest) -> Iterator[None]:
    """A change that is refused is said on the next page; nothing of it is kept."""
    try:
        yield
    except (Overtaken, KeyMismatch):
        messages.error(request, "Somebody else changed this consultation. Please look again.")
    except Settled as settled:
        messages.error(request, str(settled))


def _words(typed: str, most: int) -> str:
    """What was typed outside a form of ours: without a NUL, which a database may not take."""
    return typed.replace("\0", "").strip()[:most]


def _carry_out(request: HttpRequest, act: Callable[[], object]) -> bool:
    """Do it once for the key of the form, however often it is sent; a refusal is said on the next page."""

    def acted() -> str:
        act()
        return ""

    with refusals_shown(request):
        once_for(request, acted)
        return True
    return False


@require_safe
def desk(request: HttpRequest) -> HttpResponse:
    """Every consultation that is going on, last changed first; a search over all of them."""
    words, state = _words(request.GET.get("q", ""), 100), request.GET.get("state", "")
    found = on_the_desk(words, state if state in State.values else "")
    rows = list(found[: ON_A_PAGE + 1])
    context = {
        "rows": rows[:ON_A_PAGE],
        "more": len(rows) > ON_A_PAGE,
        "words": words,
        "state": state,
        "states": State.choices,
        "once": secrets.token_urlsafe(18),
    }
    return render(request, "consult/desk.html", context)


@require_POST
def new(request: HttpRequest) -> HttpResponse:
    """Open a consultation; the same form again leads to the same one, as long as nothing was said in it."""
    name = _words(request.POST.get("client_name", ""), 200)

    def opened() -> str:
        return str(consultations.open_consultation(by=request.user, client_name=name).pk)

    try:
        pk = once_for(request, opened)
    except KeyMismatch:
        pk = opened()
    if Consultation.objects.filter(pk=pk, revision__gt=1).exists():
        pk = opened()  # an old page out of the browser's memory
    return redirect("consult:event", pk=pk)


@require_safe
def overview(request: HttpRequest, pk: int) -> HttpResponse:
    """One consultation at a glance: the trail, the cake so far, its papers and its record."""
    at = consultation_at_hand(pk)
    trail = trail_of(at, "")
    book = current_book()
    prices_moved = at.row.is_open and digest(book) != at.row.edition.digest
    context = {
        "at": at,
        "trail": trail,
        "open_steps": [on for on in trail if on.is_open],
        "drawing": drawings.so_far(at.brief, at.book, at.reckoning.board_mm),
        "keys": keys_of(request, at),
        "prices_moved": prices_moved,
        "total_today": total_by(book, at) if prices_moved and at.design.tiers else None,
        "sheets": at.row.sheets.select_related("signature", "deposit", "contract"),
        "payments": at.row.payments.all(),
        "post": at.row.messages.defer("text", "html")[:10],
        "last_entries": at.row.record.order_by("-place")[:6],
        **sending_shown(at),
        **inquiry_shown(at.row),
        **money_context(at.row),
    }
    return render(request, "consult/overview.html", context)


@require_safe
def record(request: HttpRequest, pk: int) -> HttpResponse:
    """Who did what and when, and whether the chain of hashes is whole."""
    consultation = get_object_or_404(Consultation, pk=pk)
    entries = list(consultation.record.all())
    broken = verify_chain(Link(entry.as_hashed(), entry.previous, entry.hash) for entry in entries)
    context = {
        "consultation": consultation,
        "entries": entries,
        "broken": None if broken is None else broken + 1,
    }
    return render(request, "consult/record.html", context)


@require_safe
def work(request: HttpRequest, pk: int) -> HttpResponse:
    """The order of work by the clock, how the cake is held up, and what is bought for it."""
    at = consultation_at_hand(pk)
    bench = None
    if at.design.tiers:
        bench = bench_of(at.brief, at.book, at.reckoning.work, at.today, at.booked)
    papers = [(name, title) for name, (title, _) in PAPERS.items()]
    return render(request, "consult/work.html", {"at": at, "bench": bench, "papers": papers})


@owner_only
@require_safe
def earnings(request: HttpRequest, pk: int) -> HttpResponse:
    """What the order costs the shop and leaves it: for the owner, never on a page or paper of a client."""
    at = consultation_at_hand(pk)
    worth = worth_of(at.brief, at.book, at.reckoning.work, at.reckoning.quote)
    shopping = quantities_of(at.brief, at.book).shopping if at.design.tiers else None
    context = {"at": at, "worth": worth, "shopping": shopping}
    return render(request, "consult/earnings.html", context)


@require_safe
def compare(request: HttpRequest, pk: int) -> HttpResponse:
    """The designs side by side, drawn to one scale, with what differs."""
    at = consultation_at_hand(pk)
    beside = designs_side_by_side(at)
    boards = [each.reckoning.board_mm for each in beside]
    heights = [each.reckoning.height_mm for each in beside]
    frame = (max(boards, default=0.0), max(heights, default=0.0))
    columns = [
        {
            "design": each,
            "drawing": drawings.card(
                each.brief.design.tiers,
                each.brief.design,
                at.book,
                prefix=f"design{each.letter}",
                in_full=True,
                frame=(frame[0] - 2 * at.book.policies.stacks.board_margin_mm, frame[1]),
            )
            if each.brief.design.tiers
            else "",
        }
        for each in beside
    ]
    context = {
        "at": at,
        "columns": columns,
        "letters_to_send": [each.letter for each in beside if each.brief.design.tiers],
        "keys": keys_of(request, at),
        "trail": trail_of(at, ""),
    }
    return render(request, "consult/compare.html", context)


@require_POST
def designs_of(request: HttpRequest, pk: int) -> HttpResponse:
    """Turn to another design, or copy the one at hand to compare."""
    at = consultation_at_hand(pk)
    letter = request.POST.get("letter", "")
    seen = seen_on(request)

    def act() -> None:
        if letter in at.letters:
            designs.turn_to_design(at.row, by=request.user, seen=seen, letter=letter)
        elif len(at.letters) < 3:
            designs.copy_design(at.row, at.design, by=request.user, seen=seen)

    _carry_out(request, act)
    return redirect(_back_to(request, pk))


def _back_to(request: HttpRequest, pk: int) -> str:
    step = request.POST.get("step", "")
    trail = {on.step.name: on.url for on in trail_of(consultation_at_hand(pk), "")}
    return trail.get(step, trail["tiers"])


@require_POST
def prices(request: HttpRequest, pk: int) -> HttpResponse:
    """Take the shop's prices and terms of today for an unsigned consultation."""
    consultation = get_object_or_404(Consultation, pk=pk)
    seen = seen_on(request)
    if _carry_out(
        request,
        lambda: consultations.take_todays_prices(consultation, by=request.user, seen=seen),
    ):
        messages.success(request, "Today's prices and terms are taken.")
    return redirect("consult:overview", pk=pk)


@require_POST
def decline(request: HttpRequest, pk: int) -> HttpResponse:
    consultation = get_object_or_404(Consultation, pk=pk)
    why, seen = _words(request.POST.get("why", ""), 300), seen_on(request)
    _carry_out(
        request, lambda: consultations.decline(consultation, by=request.user, seen=seen, why=why)
    )
    return redirect("consult:overview", pk=pk)


@require_POST
def revise(request: HttpRequest, pk: int) -> HttpResponse:
    """Open a signed design for change, as a new revision."""
    consultation = get_object_or_404(Consultation, pk=pk)
    seen = seen_on(request)
    _carry_out(request, lambda: sheets.start_revision(consultation, by=request.user, seen=seen))
    return redirect("consult:tiers", pk=pk)
