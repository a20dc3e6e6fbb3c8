"""Is a paper ours and untouched? A public page: choose a PDF and read the answer; nothing of it is kept."""

from typing import Any

from crispy_forms.layout import Field
from django import forms
from django.contrib.auth.decorators import login_not_required
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from consult.limits import address_of, allowed, neighbourhood
from consult.sealing import Checked, Verdict, check
from shop.forms import form_helper
from shop.models import Shop

LARGEST = 10 * 1024 * 1024  # bytes; our contracts with six photographs are below two million
MOST, SECONDS = 30, 600  # papers that one asker may have checked in so many seconds

HEADINGS = {
    Verdict.UNTOUCHED: "It is ours and untouched",
    Verdict.CHANGED: "It is ours, but it was changed",
    Verdict.NOT_OURS: "It is not a contract of ours",
}
NOTES = {Verdict.UNTOUCHED: "ok", Verdict.CHANGED: "bad", Verdict.NOT_OURS: "warn"}


class PaperForm(forms.Form):
    paper = forms.FileField(
        label="The contract as a PDF",
        widget=forms.ClearableFileInput(attrs={"accept": "application/pdf,.pdf"}),
        error_messages={
            "required": "Choose the file first.",
            "empty": "That file is empty. Choose the PDF that you were sent.",
        },
        help_text="The file as you were sent it, at most 10 MB. We look at it and forget it at once.",
    )
    helper = form_helper(Field("paper"), button="Check this paper", multipart=True)

    def clean_paper(self) -> bytes:
        given: UploadedFile[Any] = self.cleaned_data["paper"]
        if (given.size or 0) > LARGEST:
            raise forms.ValidationError("That file is larger than 10 MB; no contract of ours is.")
        data: bytes = given.read()
        if b"%PDF-" not in data[:1024]:  # where readers look for it (ISO 32000-2, annex I)
            raise forms.ValidationError("That file is not a PDF. Choose the contract itself.")
        return data


@login_not_required
@require_http_methods(["GET", "POST"])
def check_a_paper(request: HttpRequest) -> HttpResponse:
    form = PaperForm(request.POST or None, request.FILES or None)
    checked, status = None, 200
    if request.method == "POST":
        form = PaperForm(request.POST, request.FILES)
        asker = neighbourhood(address_of(request))
        if not allowed("check a paper", asker, most=MOST, seconds=SECONDS):
            form.full_clean()
            form.add_error(
                None, "Too many papers were checked from here. Try again in ten minutes."
            )
            status = 429
        elif form.is_valid():
            checked = check(form.cleaned_data["paper"])
        else:
            status = 422
    return render(request, "consult/check_a_paper.html", _context(form, checked), status=status)


def _context(form: PaperForm, checked: Checked | None) -> dict[str, object]:
    shop = Shop.objects.first()
    context: dict[str, object] = {"form": form, "shop_name": shop.name if shop else ""}
    if checked is not None:
        verdict = checked.verdict
        context |= {"checked": checked, "heading": HEADINGS[verdict], "note": NOTES[verdict]}
    return context
