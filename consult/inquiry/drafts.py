"""Whose draft is this? Known by a token in a cookie that no script can read."""

from datetime import timedelta

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from consult import limits
from consult.actions.inquiry_drafts import begin_draft, digest_of
from consult.actions.sweeping import DRAFTS_KEPT
from consult.models import InquiryDraft

MOST_NEW, ALL_NEW, HOUR = (
    60,
    1_000,
    60 * 60,
)  # drafts an hour of one household and of all; our own, no source


def cookie_name() -> str:
    """With https its name holds browsers to what is set with it: the whole host, never another (RFC 6265bis)."""
    return "__Host-inquiry" if settings.HTTPS else "inquiry"


def draft_at_hand(request: HttpRequest) -> InquiryDraft | None:
    """The draft that this browser has begun, while it is kept."""
    token = request.COOKIES.get(cookie_name(), "")
    if not token or len(token) > 100:
        return None
    since = timezone.now() - DRAFTS_KEPT
    return InquiryDraft.objects.filter(token_sha256=digest_of(token), changed_at__gte=since).first()


def draft_or_new(request: HttpRequest) -> tuple[InquiryDraft | None, str]:
    """The draft of this browser, or a new one with its token; None where too many were begun from there."""
    draft = draft_at_hand(request)
    if draft is not None:
        return draft, ""
    who = limits.neighbourhood(limits.address_of(request))
    for asker, most in ((who, MOST_NEW), ("all", ALL_NEW)):
        if not limits.allowed("inquiry drafts", asker, most=most, seconds=HOUR):
            return None, ""
    return begin_draft()


def give_token(answer: HttpResponse, token: str) -> None:
    """Let the browser keep the token as long as the draft is kept."""
    answer.set_cookie(
        cookie_name(),
        token,
        max_age=timedelta(hours=48),
        httponly=True,
        samesite="Lax",
        secure=settings.HTTPS,
    )


def take_token(answer: HttpResponse) -> None:
    """The draft has ended: the browser forgets its token."""
    answer.set_cookie(
        cookie_name(), "", max_age=0, httponly=True, samesite="Lax", secure=settings.HTTPS
    )
