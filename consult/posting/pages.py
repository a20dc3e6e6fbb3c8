"""What went out, to whom, and what did not? The pages of the shop's messages, and what can be done with one."""

from typing import cast

from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from consult import calendar_file, store
from consult.actions import post
from consult.models import Consultation, Message
from consult.posting.carrying import file_of, from_folder
from consult.posting.kinds import words_for
from consult.posting.words import MASK, masked
from shop.models import Person

ON_A_PAGE = 50


@require_safe
def listed(request: HttpRequest) -> HttpResponse:
    """Every message, the last written first."""
    state = request.GET.get("state", "")
    rows = Message.objects.select_related("consultation").defer("text", "html")
    if state in Message.State.values:
        rows = rows.filter(state=state)
    typed = request.GET.get("page", "")
    page = min(int(typed), 10_000) if typed.isascii() and typed.isdigit() and int(typed) else 1
    found = list(rows[(page - 1) * ON_A_PAGE : page * ON_A_PAGE + 1])
    context = {
        "rows": [(row, words_for(row.kind)) for row in found[:ON_A_PAGE]],
        "state": state,
        "states": Message.State.choices,
        "by_mail": settings.MAIL_SERVER is not None,
        "later": page - 1,
        "earlier": page + 1 if len(found) > ON_A_PAGE else 0,
        "here": "consult:post",
    }
    return render(request, "consult/post.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def one(request: HttpRequest, pk: int) -> HttpResponse:
    """One message as it went or will go, but for the tokens of its links; hold it back, let it go, send it anew."""
    message = get_object_or_404(Message.objects.select_related("consultation"), pk=pk)
    if request.method == "POST":
        return _act(request, message)
    in_folder = message.went_by == "folder" and file_of(message).is_file()
    context = {
        "message": message,
        "kind": words_for(message.kind),
        "text": masked(message.text),
        "in_folder": in_folder,
        "may_be_tried": post.is_address(message.to),
        "may_go_anew": in_folder or MASK not in message.text,
        "by_mail": settings.MAIL_SERVER is not None,
        "here": "consult:post",
    }
    return render(request, "consult/message.html", context)


def _act(request: HttpRequest, message: Message) -> HttpResponse:
    act, by = request.POST.get("act", ""), cast(Person, request.user)
    try:
        if act == "hold back":
            post.hold_back(message, by=by)
            messages.success(request, "It is held back until you let it go.")
        elif act == "let go":
            post.let_go(message, by=by)
            messages.success(request, "It goes out now.")
        elif act == "send anew":
            kept = from_folder(message) if message.went_by == "folder" else None
            text, html = kept or (message.text, message.html)
            message = post.send_anew(message, by=by, text=text, html=html)
            messages.success(request, "It goes out once more.")
    except post.CannotSend as cannot:
        messages.error(request, str(cannot))
    return redirect("consult:message", pk=message.pk)


@require_safe
def printed(request: HttpRequest, pk: int) -> HttpResponse:
    """A message out of the folder as a page to print, its links whole, to be handed or posted to the client."""
    message = get_object_or_404(Message, pk=pk)
    kept = from_folder(message) if message.went_by == "folder" else None
    if kept is None:
        raise Http404
    return render(request, "consult/message_print.html", {"message": message, "text": kept[0]})


@require_safe
def paper(request: HttpRequest, pk: int, place: int) -> HttpResponse:
    """What is attached to a message, in its order."""
    message = get_object_or_404(Message, pk=pk)
    if place >= len(message.attached):
        raise Http404
    each = message.attached[place]
    try:
        data = store.fetch(each["sha256"])
    except store.LostFile:
        raise Http404 from None
    shown = each["type"] == "application/pdf"
    answer = HttpResponse(
        data, content_type="application/pdf" if shown else "application/octet-stream"
    )
    answer.headers["Content-Disposition"] = (
        f'{"inline" if shown else "attachment"}; filename="{_plain(each["name"])}"'
    )
    answer["Cache-Control"] = "private, no-store"
    answer["X-Content-Type-Options"] = "nosniff"
    return answer


def _plain(name: str) -> str:
    """A file's name that needs no quoting in a header (RFC 6266)."""
    return "".join(c if c.isascii() and (c.isalnum() or c in "-_. ") else "_" for c in name)


@require_safe
def hand_over_calendar(request: HttpRequest, pk: int) -> HttpResponse:
    """The hand-over as a file for a calendar."""
    return calendar_file.answer(
        get_object_or_404(Consultation.objects.select_related("edition"), pk=pk)
    )
