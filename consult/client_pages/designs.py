"""The designs a client was sent, side by side: look, comment, ask for a change, choose one."""

import secrets

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from consult import limits
from consult.actions import links, remarks
from consult.actions.keeping import KeyMismatch
from consult.actions.links import Standing
from consult.client_pages.entry import gone, kept_quiet, link_at_hand
from consult.core.offered import Offered
from consult.models import PrivateLink, Purpose, Remark
from consult.page import once_for

MOST_A_DAY = 40  # remarks by one link: our own bound against floods, no source


class RemarkForm(forms.Form):
    """What the client says of one design, or of all."""

    kind = forms.ChoiceField(
        choices=[
            (kind, kind) for kind in (Remark.Kind.COMMENT, Remark.Kind.CHANGE, Remark.Kind.CHOICE)
        ]
    )
    letter = forms.CharField(required=False)
    words = forms.CharField(
        required=False,
        max_length=2_000,
        error_messages={
            "max_length": "That is more than fits here: 2,000 characters. Please write it shorter."
        },
    )

    def __init__(self, data: object = None, *, letters: tuple[str, ...]) -> None:
        super().__init__(data)
        self.letters = letters

    def clean_letter(self) -> str:
        letter: str = self.cleaned_data["letter"]
        if letter and letter not in self.letters:
            raise forms.ValidationError("That design was not sent. Please choose one that is here.")
        return letter

    def clean(self) -> None:
        kind, words = self.cleaned_data.get("kind"), self.cleaned_data.get("words", "").strip()
        self.cleaned_data["words"] = words
        if kind == Remark.Kind.CHOICE and not self.cleaned_data.get("letter"):
            self.add_error("letter", "Please say which design you choose.")
        elif kind != Remark.Kind.CHOICE and not words and not self.errors:
            self.add_error("words", "Please write what you would like to say, then send it.")


def _page(
    request: HttpRequest, link: PrivateLink, form: RemarkForm | None = None, status: int = 200
) -> HttpResponse:
    assert link.designs is not None  # a link that opens designs has them
    offered = remarks.offered_in(link.designs)
    said = list(link.consultation.remarks.filter(link__designs=link.designs))
    choice = [remark.letter for remark in said if remark.kind == Remark.Kind.CHOICE]
    context = {
        "link": link,
        "shop": link.consultation.book().identity,
        "consultation": link.consultation,
        "offered": offered,
        "names": [aspect.name for aspect in offered.designs[0].aspects],
        "words": link.designs.words,
        "said": said,
        "chosen": choice[-1] if choice else "",
        "form": form,
        "once": secrets.token_urlsafe(18),
    }
    return render(request, "client/designs.html", context, status=status)


@kept_quiet
@require_http_methods(["GET", "POST"])
def designs(request: HttpRequest) -> HttpResponse:
    link = link_at_hand(request, Purpose.DESIGNS)
    if link is None or links.standing(link) in (Standing.REVOKED, Standing.EXPIRED):
        return gone()
    if links.standing(link) is Standing.OVERTAKEN:
        return overtaken(request, link)
    if request.method != "POST":
        if request.method == "GET":
            links.note_use(link)
        return _page(request, link)
    offered = remarks.offered_in(link.designs)
    form = RemarkForm(request.POST, letters=offered.letters())
    if not form.is_valid():
        return _page(request, link, form, status=422)
    return _keep(request, link, form, offered)


def _keep(
    request: HttpRequest, link: PrivateLink, form: RemarkForm, offered: Offered
) -> HttpResponse:
    said = form.cleaned_data
    day = 24 * 60 * 60
    if not limits.allowed("remarks", f"link {link.pk}", most=MOST_A_DAY, seconds=day):
        form.add_error(None, "That is a lot for one day. Please call or write to the shop.")
        return _page(request, link, form, status=429)

    def act() -> str:
        if said["kind"] == Remark.Kind.CHOICE:
            remarks.choose(link, letter=said["letter"], words=said["words"])
        else:
            kind = Remark.Kind(said["kind"])
            remarks.say(link, kind=kind, letter=said["letter"], words=said["words"])
        return reverse("consult:for_you_designs")

    try:
        to = once_for(request, act, actor=f"link {link.pk}")
    except links.Dead:
        return overtaken(request, link)
    except KeyMismatch:
        form.add_error(
            None, "This page was sent before with other words. They are kept; please look below."
        )
        return _page(request, link, form, status=409)
    where = "chosen" if said["kind"] == Remark.Kind.CHOICE else "said"
    return redirect(f"{to}?link={link.pk}#{where}")


def overtaken(request: HttpRequest, link: PrivateLink) -> HttpResponse:
    """For somebody whose link did open: that something newer follows, or that it is settled otherwise."""
    context = {
        "link": link,
        "shop": link.consultation.book().identity,
        "consultation": link.consultation,
    }
    return render(request, "client/overtaken.html", context, status=404)
