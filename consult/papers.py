"""Papers and pictures of a consultation, for whoever may see the consultation. Bytes come from the store."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_safe

from consult import store
from consult.actions.contracts import contract_bytes, contract_name
from consult.bench_papers import PAPERS, printed
from consult.core.bench import bench_of
from consult.finding import consultation_at_hand, sheet_of_revision
from consult.models import BalanceAsked, Cancellation, Consultation, Photo, Receipt


def _sent(
    data: bytes, kind: str, name: str = "", *, cache: str = "private, no-store"
) -> HttpResponse:
    answer = HttpResponse(data, content_type=kind)
    answer["Cache-Control"] = cache
    answer["X-Content-Type-Options"] = "nosniff"
    if name:
        answer["Content-Disposition"] = f'inline; filename="{name}"'
    return answer


@require_safe
def design_sheet(request: HttpRequest, pk: int, revision: int) -> HttpResponse:
    """A made sheet, with its signature once it is signed."""
    row = sheet_of_revision(get_object_or_404(Consultation, pk=pk), revision)
    signature = getattr(row, "signature", None)
    data = store.fetch(signature.pdf_sha256 if signature else row.pdf_sha256)
    return _sent(data, "application/pdf", f"design-sheet-{row.body['number']}-{revision}.pdf")


@require_safe
def deposit_request(request: HttpRequest, pk: int, revision: int) -> HttpResponse:
    row = sheet_of_revision(get_object_or_404(Consultation, pk=pk), revision)
    asked = getattr(row, "deposit", None)
    if asked is None:
        raise Http404
    data = store.fetch(asked.pdf_sha256)
    return _sent(data, "application/pdf", f"deposit-request-{row.body['number']}-{revision}.pdf")


@require_safe
def contract(request: HttpRequest, pk: int, revision: int) -> HttpResponse:
    """The sealed contract of a signed sheet, byte by byte as it was made; before it, the sheet to be signed."""
    row = sheet_of_revision(get_object_or_404(Consultation, pk=pk), revision)
    made = getattr(row, "contract", None)
    if made is None:
        return redirect("consult:design_sheet", pk=pk, revision=revision)
    return _sent(contract_bytes(made), "application/pdf", contract_name(made))


@require_safe
def balance_request(request: HttpRequest, pk: int, revision: int, place: int) -> HttpResponse:
    row = sheet_of_revision(get_object_or_404(Consultation, pk=pk), revision)
    asked = get_object_or_404(BalanceAsked, sheet=row, place=place)
    name = f"request-for-payment-{row.body['number']}-{revision}-{place}.pdf"
    return _sent(store.fetch(asked.pdf_sha256), "application/pdf", name)


@require_safe
def receipt(request: HttpRequest, pk: int, place: int) -> HttpResponse:
    """The order's receipt of that number."""
    number = get_object_or_404(Consultation, pk=pk).number
    made = get_object_or_404(Receipt, number=f"R-{number}-{place}")
    return _sent(store.fetch(made.pdf_sha256), "application/pdf", f"receipt-{made.number}.pdf")


@require_safe
def cancellation(request: HttpRequest, pk: int) -> HttpResponse:
    consultation = get_object_or_404(Consultation, pk=pk)
    row = get_object_or_404(Cancellation, consultation=consultation)
    name = f"order-cancelled-{consultation.number}.pdf"
    return _sent(store.fetch(row.pdf_sha256), "application/pdf", name)


@require_safe
def bench_paper(request: HttpRequest, pk: int, name: str) -> HttpResponse:
    """A paper for the kitchen or the venue, made anew from the design at hand and the prices it was quoted on."""
    if name not in PAPERS:
        raise Http404
    at = consultation_at_hand(pk)
    if not at.design.tiers:
        raise Http404
    bench = bench_of(at.brief, at.book, at.reckoning.work, at.today, at.booked)
    last = at.row.sheets.order_by("-revision").first()
    data = printed(name, at.brief, at.book, bench, at.row.number, last.revision if last else 0)
    return _sent(data, "application/pdf", f"{name.replace('_', '-')}-{at.row.number}.pdf")


@require_safe
def picture(request: HttpRequest, pk: int, sha256: str) -> HttpResponse:
    """A picture or its thumbnail, only if it belongs to that consultation or one of its sheets."""
    mine = Photo.objects.filter(consultation=get_object_or_404(Consultation, pk=pk))
    shown = mine.filter(sha256=sha256).exists() or mine.filter(thumbnail_sha256=sha256).exists()
    if not shown:
        raise Http404
    return _sent(store.fetch(sha256), "image/jpeg", cache="private, max-age=600")
