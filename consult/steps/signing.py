"""Sign the design sheet: read it, agree, draw or type. The same page serves the tablet handed to the client."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from consult import hand_over
from consult.actions import sheets
from consult.actions.keeping import Overtaken, Settled
from consult.core.signing import shown_fingerprint
from consult.finding import AtHand, consultation_at_hand
from consult.models import Sheet
from consult.page import go_to, show
from consult.signing_form import SigningForm


def _page(
    request: HttpRequest, at: AtHand, row: Sheet | None, form: SigningForm | None, status: int = 200
) -> HttpResponse:
    context = {
        "row": row,
        "sheet": sheets.sheet_value(row) if row else None,
        "fingerprint": shown_fingerprint(row.fingerprint) if row else "",
        "signature": getattr(row, "signature", None) if row else None,
        "agreement": at.book.policies.agreement,
        "is_handed_over": hand_over.is_handed_over(request),
    }
    return show(request, at, "signing", form=form, status=status, **context)


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int) -> HttpResponse:
    at = consultation_at_hand(pk)
    row = sheets.current_sheet(at.row)
    if row is None or hasattr(row, "signature"):
        return _page(request, at, row, None)
    words = {
        "consent": sheets.sheet_value(row).consent,
        "photo_words": at.book.policies.agreement.photo_words,
    }
    if request.method != "POST":
        form = SigningForm(initial={"shown": row.fingerprint}, **words)
        return _page(request, at, row, form)
    form = SigningForm(request.POST, **words)
    if form.is_valid():
        try:
            signer = form.signer(request, witness=request.user)
            sheets.sign_sheet(at.row, row, signer=signer)
            return go_to(request, reverse("consult:signing", args=[pk]))
        except sheets.NotSigned as refused:
            form.take(refused.problems)
        except (Overtaken, Settled):
            form.add_error(
                None, "The sheet was changed after it was shown. Please read it again, then sign."
            )
    return _page(request, at, row, form, status=422)
