"""What is to pay, by when and how, and the papers of an order, for whoever holds a link to it."""

from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from consult import drawings, store
from consult.actions import links
from consult.actions.links import Standing
from consult.actions.money import ledger_of
from consult.client_pages.designs import overtaken
from consult.client_pages.entry import gone, kept_quiet, link_at_hand, opened_links
from consult.core.paying import paying
from consult.models import BalanceAsked, Consultation, Contract, DepositAsked, Purpose, Sheet

PAPERS = {
    "contract": "The signed agreement",
    "design-sheet": "The design sheet",
    "deposit-request": "The deposit request",
    "balance-request": "The request for the balance",
}


def signed_sheet(consultation: Consultation) -> Sheet | None:
    """The last sheet that was signed: the one that holds."""
    rows = consultation.sheets.filter(signature__isnull=False).select_related("signature")
    return rows.order_by("-revision").first()


def money_shown(consultation: Consultation, today: date) -> dict[str, Any]:
    """What of an order is to pay, and how, for a page of the client."""
    ledger, identity = ledger_of(consultation), consultation.book().identity
    how = paying(ledger.dues[0].amount, consultation.number, identity) if ledger.dues else None
    row = signed_sheet(consultation)
    papers = papers_of(row) if row else {}
    return {
        "ledger": ledger,
        "today": today,
        "how": how,
        "code": drawings.payment_code(how.epc_payload) if how and how.epc_payload else "",
        "papers": [(name, PAPERS[name]) for name in papers],
    }


def papers_of(row: Sheet) -> dict[str, str]:
    """The papers of a sheet that a client may have, by name: the digest of each."""
    found = {}
    contract = Contract.objects.filter(sheet=row).first()
    signature = getattr(row, "signature", None)
    if contract:
        found["contract"] = contract.pdf_sha256
    found["design-sheet"] = signature.pdf_sha256 if signature else row.pdf_sha256
    deposit = DepositAsked.objects.filter(sheet=row).first()
    if deposit:
        found["deposit-request"] = deposit.pdf_sha256
    balance = BalanceAsked.objects.filter(sheet=row).order_by("-place").first()
    if balance:
        found["balance-request"] = balance.pdf_sha256
    return found


@kept_quiet
@require_safe
def pay(request: HttpRequest) -> HttpResponse:
    link = link_at_hand(request, Purpose.PAY)
    if link is None or links.standing(link) in (Standing.REVOKED, Standing.EXPIRED):
        return gone()
    if links.standing(link) is Standing.OVERTAKEN:
        return overtaken(request, link)
    if request.method == "GET":
        links.note_use(link)
    row = signed_sheet(link.consultation)
    assert row is not None  # else the link would not stand
    context = {
        "link": link,
        "shop": link.consultation.book().identity,
        "consultation": link.consultation,
        "row": row,
        "signature": row.signature,
        **money_shown(link.consultation, timezone.localdate()),
    }
    return render(request, "client/pay.html", context)


def _sheets_open(request: HttpRequest) -> list[Sheet]:
    """The sheets that the links opened here still show, that of the link named first."""
    named = link_at_hand(request, Purpose.SHEET, Purpose.PAY)
    found = []
    for link in opened_links(request, Purpose.SHEET, Purpose.PAY):
        if links.standing(link) is Standing.OPEN:
            row = link.sheet if link.sheet is not None else signed_sheet(link.consultation)
            if row is not None:
                found.insert(0 if named and link.pk == named.pk else len(found), row)
    return found


@kept_quiet
@require_safe
def paper(request: HttpRequest, name: str) -> HttpResponse:
    """A paper of the order, out of the store, as it was made."""
    open_here = _sheets_open(request)
    digest = papers_of(open_here[0]).get(name) if open_here else None
    if digest is None:
        return gone()
    answer = HttpResponse(store.fetch(digest), content_type="application/pdf")
    number = f"{open_here[0].body['number']}-{open_here[0].revision}"
    answer["Content-Disposition"] = f'inline; filename="{name}-{number}.pdf"'
    return answer


@kept_quiet
@require_safe
def picture(request: HttpRequest, sha256: str) -> HttpResponse:
    """A picture that is part of a sheet which is open here."""
    for row in _sheets_open(request):
        if any(photo["sha256"] == sha256 for photo in row.body["photos"]):
            return HttpResponse(store.fetch(sha256), content_type="image/jpeg")
    return gone()
