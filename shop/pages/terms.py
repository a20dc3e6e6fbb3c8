"""The small print and the sentence a signer agrees to; each change is a new version."""

from django import forms
from django.contrib import messages
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from shop.access import owner_only
from shop.actions import issue_terms
from shop.finding import terms_versions
from shop.forms import form_helper


class TermsForm(forms.Form):
    text = forms.CharField(
        label="Terms",
        max_length=20_000,
        widget=forms.Textarea({"rows": 22}),
        help_text="A blank line begins a new paragraph.",
    )
    consent = forms.CharField(
        label="What a signer agrees to",
        max_length=2_000,
        widget=forms.Textarea({"rows": 5}),
        help_text="Stands above the signature: that they mean to sign, that they agree to do it "
        "electronically, and that they may have it on paper instead.",
    )
    helper = form_helper(button="Put this version in force")


@owner_only
@require_http_methods(["GET", "POST"])
def terms(request):
    versions = terms_versions()
    in_force = versions[0] if versions else None
    initial = {"text": in_force.text, "consent": in_force.consent} if in_force else {}
    form = TermsForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        issued = issue_terms(
            said["text"].replace("\r\n", "\n"),
            consent=said["consent"].replace("\r\n", "\n"),
            by=request.user,
        )
        if issued == in_force:
            messages.info(request, "These are the words in force already; nothing has changed.")
        else:
            messages.success(
                request, f"Version {issued.version} is in force. Sheets already made keep theirs."
            )
        return redirect("shop_terms")
    context = {"form": form, "here": "shop_terms", "in_force": in_force, "versions": versions}
    return render(request, "shop/terms.html", context, status=422 if form.errors else 200)
