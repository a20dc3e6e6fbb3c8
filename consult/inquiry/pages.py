"""The inquiry of somebody who has no account: one page that works without script, and a word of thanks."""

import json
import secrets

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import RequestDataTooBig, SuspiciousOperation
from django.http import HttpRequest, HttpResponse
from django.http.multipartparser import MultiPartParserError
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt, csrf_protect
from django.views.decorators.http import require_http_methods, require_safe

from consult import limits, store
from consult.actions import inquiries, inquiry_drafts
from consult.actions.inquiry_drafts import MOST_PHOTOS
from consult.actions.keeping import KeyMismatch
from consult.actions.sweeping import forget_draft
from consult.client_pages.entry import gone
from consult.finding import Edition
from consult.inquiry import drafts
from consult.inquiry.arriving import Arriving
from consult.inquiry.form import HONEYPOT, InquiryForm, as_data, typed
from consult.inquiry.reckoned import edition_now
from consult.inquiry.shown import prices_for, shown
from consult.inquiry.stamp import LEAST, new_stamp, open_for
from consult.models import Consultation, InquiryDraft
from consult.page import go_to, once_for
from consult.photos import MOST_BYTES, BadPhoto
from consult.steps.event import OCCASIONS
from shop.inquiry_text import told_of_data
from shop.models import NoShopYet, Shop, current_shop

_SENT = "inquired"  # in the session: the inquiry that was sent from this browser
MOST_PHOTOS_AN_HOUR, ALL_PHOTOS_AN_HOUR, HOUR = 40, 400, 60 * 60  # our own bounds, no source

TOO_LARGE = "{name} is larger than the {most} MB we can take. Please send a smaller copy."
TOO_MUCH = (
    f"That was more than can be sent at once: at most {MOST_PHOTOS} photos. "
    "What was kept before is still here; what came with it is not."
)
TOO_MANY_PHOTOS = "Many photos came of late. Please add {name} in an hour, or send it by e-mail."


@csrf_exempt  # only until the handler below stands; `_inquire` is guarded
@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def inquire(request: HttpRequest) -> HttpResponse:
    """What arrives is bounded before it is read; what cannot be read at all loses nothing that was kept before."""
    arriving = Arriving(request)
    request.upload_handlers.insert(0, arriving)
    try:
        _ = request.POST
    except (RequestDataTooBig, MultiPartParserError, SuspiciousOperation, OSError):
        return _refused(request)
    answer: HttpResponse = _inquire(request, arriving.too_large)
    return answer


def _refused(request: HttpRequest) -> HttpResponse:
    """What came cannot be read, so nothing of it can be kept: the page as it was kept before, and why."""
    return redirect(reverse("consult:inquire") + "?too_much=yes")


@csrf_protect
def _inquire(request: HttpRequest, too_large: list[str]) -> HttpResponse:
    try:
        shop = current_shop()
    except NoShopYet:
        return render(request, "inquiry/closed.html", {"shop": None}, status=503)
    if not shop.takes_inquiries:
        status = 409 if request.method == "POST" else 200
        return render(request, "inquiry/closed.html", {"shop": shop}, status=status)
    if request.method != "POST":
        wrong = [TOO_MUCH] if request.GET.get("too_much") else []
        return _page(request, shop, drafts.draft_at_hand(request), wrong=wrong)
    if "forget" in request.POST:
        return _forget(request)
    if request.POST.get(HONEYPOT):
        says = "A field that must stay empty was filled in. If a program filled it in for you, please empty it."
        return _page(request, shop, drafts.draft_at_hand(request), status=422, wrong=[says])
    draft, token = drafts.draft_or_new(request)
    wrong = _keep(request, draft, too_large)
    answer = _answer(request, shop, draft, wrong)
    if token and not answer.cookies:
        drafts.give_token(answer, token)
    return answer


def _answer(
    request: HttpRequest, shop: Shop, draft: InquiryDraft | None, wrong: list[str]
) -> HttpResponse:
    if "send" in request.POST and not wrong:
        return _send(request, shop, draft)
    status = 422 if wrong else 200
    if request.htmx or wrong or draft is None:
        return _page(request, shop, draft, status=status, wrong_photos=wrong, saved=not wrong)
    month = request.POST.get("month", "")[:7]
    where = "#day" if {"pick", "month"} & set(request.POST) else "#price"
    where = "#photos" if request.FILES or "take_off" in request.POST else where
    return redirect(reverse("consult:inquire") + (f"?month={month}" if month else "") + where)


def _keep(request: HttpRequest, draft: InquiryDraft | None, too_large: list[str]) -> list[str]:
    """Keep what was typed and the photos; what was wrong with any of these, in words."""
    wrong = [TOO_LARGE.format(name=name, most=MOST_BYTES // 2**20) for name in too_large]
    files = request.FILES.getlist("photos") + request.FILES.getlist("camera")
    if draft is None:
        return (
            [*wrong, "The photos could not be kept just now. Please add them later."]
            if files
            else wrong
        )
    answers = typed(request.POST)
    if request.POST.get("pick"):  # a day pressed in the calendar
        answers["event_on"] = [request.POST["pick"][:10].replace("\0", "")]
    inquiry_drafts.keep_answers(draft, answers)
    if request.POST.get("take_off"):
        inquiry_drafts.take_out_photo(draft, request.POST["take_off"][:64])
    for file in files:  # each by itself: one that can't be taken keeps none of the others out
        name = (file.name or "a photo")[:120]
        try:
            if len(draft.photos) >= MOST_PHOTOS:
                raise inquiry_drafts.no_room()
            if not _photo_allowed(request):
                wrong.append(TOO_MANY_PHOTOS.format(name=name))
                continue
            inquiry_drafts.put_in_photo(draft, file.read())
        except BadPhoto as bad:
            wrong.append(f"{name}: {bad}")
    return wrong


def _who(request: HttpRequest) -> str:
    return limits.neighbourhood(limits.address_of(request))


def _photo_allowed(request: HttpRequest) -> bool:
    return limits.allowed(
        "inquiry photos", _who(request), most=MOST_PHOTOS_AN_HOUR, seconds=HOUR
    ) and limits.allowed("inquiry photos", "all", most=ALL_PHOTOS_AN_HOUR, seconds=HOUR)


def _forget(request: HttpRequest) -> HttpResponse:
    """Everything typed so far is erased, because whoever typed it says so."""
    draft = drafts.draft_at_hand(request)
    if draft is not None:
        forget_draft(draft)
    answer = go_to(request, reverse("consult:inquire"))
    drafts.take_token(answer)
    return answer


def _send(request: HttpRequest, shop: Shop, draft: InquiryDraft | None) -> HttpResponse:
    edition = edition_now()
    today = timezone.localdate()
    form = InquiryForm(as_data(typed(request.POST), edition.book), book=edition.book, today=today)

    def again(says: str, status: int) -> HttpResponse:
        return _page(request, shop, draft, form=form, status=status, wrong=[says])

    if not form.is_valid():
        return _page(request, shop, draft, form=form, status=422)
    open_seconds = open_for(request.POST.get("opened", ""))
    if open_seconds is None:
        return again(
            "This page was open for very long. Please look it over and send it again.", 422
        )
    since = draft.started_at if draft else timezone.now()  # a draft that was come back to
    if max(open_seconds, (timezone.now() - since).total_seconds()) < LEAST:
        return again("That was very quick. Please look it over and send it again.", 422)
    prices = prices_for(request, form, edition)[0]
    told = told_of_data(shop)

    def act() -> str:
        row = inquiries.take_in(
            form.said(), draft=draft, prices=prices, told=told, who=_who(request)
        )
        return str(row.pk)

    try:
        pk = once_for(request, act, actor="inquiry")  # the key is ours, and of this page alone
    except inquiries.TooMany:
        return again(
            "Many inquiries came of late, so this one was not taken in. Please try again in an hour, "
            "or call or write to us.",
            429,
        )
    except KeyMismatch:
        return again(
            "This page was sent before with other words. Send again to send these too.", 409
        )
    if draft is not None:
        forget_draft(draft)  # of a second tap, which began one anew
    request.session.cycle_key()
    request.session[_SENT] = int(pk)
    answer = go_to(request, reverse("consult:inquiry_sent"))
    if answer.status_code == 302:
        answer.status_code = 303
    drafts.take_token(answer)
    return answer


def _page(
    request: HttpRequest,
    shop: Shop,
    draft: InquiryDraft | None,
    *,
    form: InquiryForm | None = None,
    status: int = 200,
    wrong: list[str] | None = None,
    wrong_photos: list[str] | None = None,
    saved: bool = False,
) -> HttpResponse:
    """The page as it stands; to htmx its fields alone. `form` is one that was sent and is not right yet."""
    edition = edition_now()
    if form is None:
        form = _as_kept(request, draft, edition)
    context = {
        **shown(request, form, edition),
        "shop": shop,
        "locale": shop.locale,
        "draft": draft,
        "wrong": wrong or (wrong_photos if "send" in request.POST else []),
        "wrong_photos": wrong_photos or [],
        "photos": draft.photos if draft else [],
        "room": MOST_PHOTOS - len(draft.photos if draft else []),
        "most_photos": MOST_PHOTOS,
        "most_megabytes": MOST_BYTES // 2**20,
        "occasions": OCCASIONS,
        "honeypot": HONEYPOT,
        "told": told_of_data(shop),
        "opened": _opened(request),
        "once": _once_of(request, status),
        "tried": not form.soft,
        "sends": "send" in request.POST,
    }
    if not request.htmx:
        return render(request, "inquiry/inquire.html", context, status=status)
    fields = render_to_string("inquiry/inquire.html#fields", context, request)
    answer = HttpResponse(fields, status=status)
    if saved:
        answer["HX-Trigger"] = json.dumps({"saved": f"Kept {timezone.localtime():%H:%M}"})
    answer["Cache-Control"] = "no-store"
    return answer


def _as_kept(request: HttpRequest, draft: InquiryDraft | None, edition: Edition) -> InquiryForm:
    """What was answered so far; what is still empty is not wrong yet."""
    sent_now = typed(request.POST) if request.method == "POST" else {}
    answers = sent_now if draft is None else draft.answers
    form = InquiryForm(
        as_data(answers, edition.book),
        book=edition.book,
        today=timezone.localdate(),
        soft="tried" not in request.POST,  # once it was tried to send, what is missing stays said
    )
    form.is_valid()
    return form


def _opened(request: HttpRequest) -> str:
    stamp = request.POST.get("opened", "")
    return stamp if open_for(stamp) is not None else new_stamp()


def _once_of(request: HttpRequest, status: int) -> str:
    """One key for one inquiry, until other words were sent under it."""
    kept = "" if status == 409 else request.POST.get("once", "").replace("\0", "")[:64]
    return kept or secrets.token_urlsafe(18)


@login_not_required
@require_safe
def sent(request: HttpRequest) -> HttpResponse:
    """Thanks, the number, and what happens next. Only in the browser that sent it; a reload sends nothing again."""
    pk = request.session.get(_SENT)
    row = Consultation.objects.select_related("inquiry", "edition").filter(pk=pk).first()
    if pk is None or row is None:
        return redirect("consult:inquire")
    context = {
        "shop": row.book().identity,
        "row": row,
        "inquiry": row.inquiry,
        "copy": row.messages.filter(kind="inquiry_copy").exists(),
        "photos": row.photos.count(),
    }
    return render(request, "inquiry/sent.html", context)


@login_not_required
@require_safe
def picture(request: HttpRequest, sha256: str) -> HttpResponse:
    """A picture of the draft of this browser, and of no other."""
    draft = drafts.draft_at_hand(request)
    own = (
        {photo[part] for photo in draft.photos for part in ("sha256", "thumbnail")} if draft else ()
    )
    if sha256 not in own:
        return gone()
    try:
        data = store.fetch(sha256)
    except store.LostFile:
        return gone()
    answer = HttpResponse(data, content_type="image/jpeg")
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cache-Control"] = "private, no-store"
    return answer
