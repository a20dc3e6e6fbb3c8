"""What do the steps' views share? Showing a step, keeping an answer, going on to the next step."""

import json
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from consult import drawings
from consult.actions.keeping import KeyMismatch, Overtaken, Seen, Settled, once
from consult.core.open_answers import still_missing
from consult.finding import AtHand, consultation_at_hand
from consult.flow import STEPS, Step, after, before, step_named
from consult.forms import differences
from consult.hand_over import is_handed_over

# What keeps a form's identity and is no part of what was asked.
_KEYS = ("csrfmiddlewaretoken", "once", "page", "revision")


@dataclass(frozen=True, slots=True)
class OnTrail:
    """A step as the trail shows it: still open, answered, or the one on the screen."""

    step: Step
    url: str
    is_here: bool
    is_open: bool


def trail_of(at: AtHand, here: str) -> tuple[OnTrail, ...]:
    missing = {problem.where for problem in still_missing(at.brief, at.book)}
    done_late = {
        "sheet": at.row.state not in ("inquiry", "consultation"),
        "signing": not at.row.is_open,
        "deposit": at.row.state in ("confirmed", "kitchen", "handed_over"),
    }
    return tuple(
        OnTrail(
            step,
            reverse(f"consult:{step.name}", args=[at.row.pk]),
            step.name == here,
            step.name in missing or not done_late.get(step.name, True),
        )
        for step in STEPS
    )


def keys_of(request: HttpRequest, at: AtHand) -> dict[str, Any]:
    """What a form says about itself: the revision it is made from, its key, and which open page it is."""
    return {
        "revision": at.row.revision,
        "once": secrets.token_urlsafe(18),
        "page": request.POST.get("page") or secrets.token_urlsafe(9),
    }


def show(
    request: HttpRequest,
    at: AtHand,
    name: str,
    *,
    form: Any = None,
    status: int | None = None,
    **context: Any,
) -> HttpResponse:
    """A step's page; to htmx only its fields, with what stands beside them (`also` in the step's page too)."""
    if status is None:
        status = 422 if form is not None and form.is_bound and not form.is_valid() else 200
    step = step_named(name)
    context |= {
        "at": at,
        "step_here": step,
        "form": form,
        "trail": trail_of(at, name),
        "next_step": after(name),
        "step_before": before(name),
        "drawing": drawings.so_far(at.brief, at.book, at.reckoning.board_mm),
        "keys": keys_of(request, at),
        "is_htmx": bool(request.htmx),
    }
    page = f"consult/{name}.html"
    if not request.htmx:
        return render(request, page, context, status=status)
    parts = [render_to_string(f"{page}#fields", context, request)]
    if not is_handed_over(request):  # what stands beside a step is the shop's own business
        parts.append(render_to_string("consult/_beside.html", context, request))
    if context.get("also"):
        also = render_to_string(f"{page}#also", context, request)
        parts.append(f'<div id="also" hx-swap-oob="innerHTML">{also}</div>')
    answer = HttpResponse("".join(parts), status=status)
    if context.get("saved"):
        answer["HX-Trigger"] = json.dumps({"saved": f"Saved {timezone.localtime():%H:%M}"})
    answer["Cache-Control"] = "no-store"
    return answer


def seen_on(request: HttpRequest) -> Seen:
    """What the posted form was made from."""
    return Seen(whole_number(request, "revision") or 0, _token(request, "page", 40))


def whole_number(request: HttpRequest, name: str) -> int | None:
    """What a button or hidden field sent as a number; None for anything else, however long."""
    typed = request.POST.get(name, "")
    return int(typed) if typed.isascii() and typed.isdigit() and len(typed) <= 9 else None


def _token(request: HttpRequest, name: str, most: int) -> str:
    """A key made on a page, without a NUL, which a database may not take."""
    return request.POST.get(name, "").replace("\0", "")[:most]


def once_for(request: HttpRequest, act: Callable[[], str], *, actor: str = "") -> str:
    """Carry `act` out once for this person and the key of the form that was sent. May raise KeyMismatch.

    `actor` is who else it is that sends it: a private link.
    """
    return once(
        actor or f"person {request.user.pk}", _token(request, "once", 64), _asked(request), act
    )


def _asked(request: HttpRequest) -> str:
    rest = [(key, values) for key, values in request.POST.lists() if key not in _KEYS]
    files = [(key, file.name, file.size) for key, file in request.FILES.items()]
    return f"{request.path} {sorted(rest)} {files}"


def keep_answer(
    request: HttpRequest,
    at: AtHand,
    name: str,
    act: Callable[[Seen], object],
    *,
    form: Any = None,
    afresh: Callable[[AtHand], dict[str, Any]],
) -> HttpResponse:
    """Carry a change out once and show what stands now, or lead on to the next step.

    When somebody else was faster nothing is kept: the page comes back with what was typed and what is kept now.
    """

    def carried_out() -> str:
        act(seen_on(request))
        return reverse(f"consult:{name}", args=[at.row.pk])

    try:
        answer = once_for(request, carried_out)
    except Overtaken:
        now = consultation_at_hand(at.row.pk)
        fresh = afresh(now)
        between = differences(form, fresh["form"]) if form is not None and fresh.get("form") else ()
        shown = {**fresh, "form": form or fresh.get("form"), "overtaken": True}
        return show(request, now, name, status=409, between=between, **shown)
    except (KeyMismatch, Settled) as refused:
        says = str(refused) or "This page was sent twice with different answers. Please look again."
        now = consultation_at_hand(at.row.pk)
        shown = {**afresh(now), "refused": says}
        if form is not None:
            shown["form"] = form
        return show(request, now, name, status=409, **shown)
    if "lead_on" in request.POST:
        return lead_on(request, at, name)
    if request.htmx:
        now = consultation_at_hand(at.row.pk)
        return show(request, now, name, status=200, saved=True, **afresh(now))
    messages.success(request, "Saved.")
    return redirect(answer)


def lead_on(request: HttpRequest, at: AtHand, name: str) -> HttpResponse:
    """To the next step's page."""
    following = after(name)
    url = reverse(f"consult:{following.name if following else name}", args=[at.row.pk])
    return go_to(request, url)


def go_to(request: HttpRequest, url: str) -> HttpResponse:
    """To another page, for htmx and for a plain form alike."""
    if request.htmx:
        answer = HttpResponse(status=204)
        answer["HX-Redirect"] = url
        return answer
    return HttpResponseRedirect(url)
