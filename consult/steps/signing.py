"""Sign the design sheet: read it, agree, draw or type. The same page serves the tablet handed to the client."""

from typing import Any

from crispy_forms.layout import HTML
from django import forms
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from consult import hand_over
from consult.actions import sheets
from consult.actions.keeping import Overtaken, Settled
from consult.core.design import Problem
from consult.core.signing import shown_fingerprint
from consult.core.strokes import strokes_from
from consult.finding import AtHand, consultation_at_hand
from consult.models import Sheet
from consult.page import go_to, show
from shop.forms import form_helper


class SigningForm(forms.Form):
    """Name, mark and agreement. Never filled in beforehand: the tablet is shared."""

    name = forms.CharField(label="Your full name", max_length=200, required=False)
    strokes = forms.CharField(required=False, widget=forms.HiddenInput)
    typed = forms.BooleanField(label="I sign by typing my name, instead of drawing", required=False)
    agreed = forms.BooleanField(required=False)
    shown = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, consent: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["agreed"].label = consent
        for field in self.fields.values():
            field.goes_without_saying = True
        self.fields["name"].widget.attrs.update(autocomplete="off", spellcheck="false")

    @property
    def helper(self) -> Any:
        return form_helper(
            "shown",
            "name",
            HTML('{% include "consult/_pad.html" %}'),
            "typed",
            "agreed",
            button=None,
            tag=False,
        )

    def take(self, problems: tuple[Problem, ...]) -> None:
        """Put what stands in the way beside its field."""
        for problem in problems:
            where = {"strokes": "typed", "sheet": None}.get(problem.where, problem.where)
            self.add_error(where if where in self.fields else None, problem.says)


def _signer(request: HttpRequest, form: SigningForm) -> sheets.Signer | Problem:
    answers = form.cleaned_data
    strokes = None
    if not answers["typed"]:
        strokes = strokes_from(answers["strokes"])
        if isinstance(strokes, Problem):
            return strokes
    return sheets.Signer(
        name=answers["name"].strip(),
        strokes=strokes,
        agreed=answers["agreed"],
        shown=answers["shown"],
        address=request.META.get("REMOTE_ADDR") or None,
        browser=request.headers.get("User-Agent", ""),
        witness=request.user,
    )


def _page(
    request: HttpRequest, at: AtHand, row: Sheet | None, form: SigningForm | None, status: int = 200
) -> HttpResponse:
    context = {
        "row": row,
        "sheet": sheets.sheet_value(row) if row else None,
        "fingerprint": shown_fingerprint(row.fingerprint) if row else "",
        "signature": getattr(row, "signature", None) if row else None,
        "is_handed_over": hand_over.is_handed_over(request),
    }
    return show(request, at, "signing", form=form, status=status, **context)


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int) -> HttpResponse:
    at = consultation_at_hand(pk)
    row = sheets.current_sheet(at.row)
    if row is None or hasattr(row, "signature"):
        return _page(request, at, row, None)
    consent = sheets.sheet_value(row).consent
    if request.method != "POST":
        form = SigningForm(consent=consent, initial={"shown": row.fingerprint})
        return _page(request, at, row, form)
    form = SigningForm(request.POST, consent=consent)
    if form.is_valid():
        signer = _signer(request, form)
        try:
            if isinstance(signer, Problem):
                raise sheets.NotSigned((signer, *_also_missing(form)))
            sheets.sign_sheet(at.row, row, signer=signer)
            return go_to(request, reverse("consult:signing", args=[pk]))
        except sheets.NotSigned as refused:
            form.take(refused.problems)
        except (Overtaken, Settled):
            form.add_error(
                None, "The sheet was changed after it was shown. Please read it again, then sign."
            )
    return _page(request, at, row, form, status=422)


def _also_missing(form: SigningForm) -> tuple[Problem, ...]:
    """With the mark missing, say what else is missing too, so that nobody is sent round twice."""
    missing = []
    if not form.cleaned_data["name"].strip():
        missing.append(Problem("name", "Please give the name of the person who signs."))
    if not form.cleaned_data["agreed"]:
        missing.append(
            Problem(
                "agreed", "Please tick that you agree to this sheet; without it nothing is signed."
            )
        )
    return tuple(missing)
