"""The sheet a client was sent: read it whole, sign it, and see what to pay and how."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from consult import drawings
from consult.actions import links, sheets
from consult.actions.keeping import Overtaken, Settled
from consult.actions.links import Standing
from consult.client_pages.designs import overtaken
from consult.client_pages.entry import gone, kept_quiet, link_at_hand
from consult.client_pages.pay import money_shown
from consult.core.signing import shown_fingerprint
from consult.models import PrivateLink, Purpose, Sheet, Signature
from consult.signing_form import SigningForm


def _page(
    request: HttpRequest,
    link: PrivateLink,
    form: SigningForm | None,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    row, book = link.sheet, link.consultation.book()
    assert row is not None  # a link that opens a sheet has it
    value = sheets.sheet_value(row)
    context = {
        "link": link,
        "by_link": True,
        "shop": book.identity,
        "consultation": link.consultation,
        "row": row,
        "sheet": value,
        "drawing": drawings.of_sheet(value),
        "fingerprint": shown_fingerprint(row.fingerprint),
        "agreement": book.policies.agreement,
        "form": form,
        **more,
    }
    return render(request, "client/sheet.html", context, status=status)


@kept_quiet
@require_http_methods(["GET", "POST"])
def sheet(request: HttpRequest) -> HttpResponse:
    link = link_at_hand(request, Purpose.SHEET)
    if link is None or links.standing(link) in (Standing.REVOKED, Standing.EXPIRED):
        return gone()
    if links.standing(link) is Standing.OVERTAKEN:
        return overtaken(request, link)
    if request.method == "GET":
        links.note_use(link)
    signature = Signature.objects.filter(sheet=link.sheet_id).first()
    if signature is None:
        return _to_sign(request, link)
    if request.method == "POST":  # the same tap again
        return _back_to(link)
    paid = money_shown(link.consultation, timezone.localdate())
    return _page(request, link, None, signature=signature, **paid)


def _to_sign(request: HttpRequest, link: PrivateLink) -> HttpResponse:
    row = link.sheet
    assert row is not None  # a link that opens a sheet has it
    words = {
        "consent": sheets.sheet_value(row).consent,
        "photo_words": link.consultation.book().policies.agreement.photo_words,
    }
    if request.method != "POST":
        return _page(request, link, SigningForm(initial={"shown": row.fingerprint}, **words))
    form = SigningForm(request.POST, **words)
    if form.is_valid():
        try:
            return _sign(request, link, row, form)
        except sheets.NotSigned as refused:
            form.take(refused.problems)
        except links.Dead:
            return gone()
        except (Overtaken, Settled):
            signed_here = Signature.objects.filter(sheet=row, link=link).exists()
            return _back_to(link) if signed_here else overtaken(request, link)
    return _page(request, link, form, status=422)


def _sign(request: HttpRequest, link: PrivateLink, row: Sheet, form: SigningForm) -> HttpResponse:
    """Sign by the one way there is to sign, with nobody of the shop by."""
    signer = form.signer(request, witness=None, link=link)
    sheets.sign_sheet(link.consultation, row, signer=signer)
    links.keep_until_paid(link)
    return _back_to(link)


def _back_to(link: PrivateLink) -> HttpResponse:
    answer: HttpResponse = redirect("consult:for_you_sheet")
    answer["Location"] += f"?link={link.pk}"
    return answer
