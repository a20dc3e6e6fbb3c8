"""The shop's answer to an inquiry: it is taken up, or declined in words."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from consult.actions import inquiries
from consult.models import Consultation
from consult.page import once_for, seen_on
from consult.views import refusals_shown


@require_POST
def answer_inquiry(request: HttpRequest, pk: int) -> HttpResponse:
    """Take it up, or decline it; the words go to the client where that was asked for."""
    consultation = get_object_or_404(Consultation, pk=pk)
    seen = seen_on(request)
    words = request.POST.get("why", "").replace("\0", "").strip()[:1_000]
    tell = bool(request.POST.get("tell"))

    def act() -> str:
        if "take_up" in request.POST:
            inquiries.take_up(consultation, by=request.user, seen=seen)
            return "Taken up. It is a consultation now: go through its steps."
        if "decline" not in request.POST:
            return "Choose whether to take it up or to decline it."
        inquiries.decline(consultation, by=request.user, seen=seen, words=words, tell=tell)
        return "Declined, and the client is told." if tell else "Declined. The client was not told."

    with refusals_shown(request):
        messages.success(request, once_for(request, act))
    return redirect("consult:overview", pk=pk)
