"""What is asked of whoever signs? The same form at the counter, on the handed-over tablet and by private link."""

from typing import Any

from crispy_forms.layout import HTML
from django import forms
from django.http import HttpRequest

from consult.actions import sheets
from consult.core.design import Problem
from consult.core.strokes import strokes_from
from consult.models import PrivateLink
from shop.forms import form_helper
from shop.models import Person

PHOTO_CHOICES = (("yes", "Yes, I allow it"), ("no", "No, I do not"))
# What is shown where the owner has not written her own words yet.
PHOTO_WORDS = "May the shop show photographs of this cake in its window, on its pages and in print?"


class SigningForm(forms.Form):
    """Name, mark and agreement. Never filled in beforehand: the tablet is shared, and no choice is made for anyone."""

    name = forms.CharField(label="Your full name", max_length=200, required=False)
    strokes = forms.CharField(required=False, widget=forms.HiddenInput)
    typed = forms.BooleanField(label="I sign by typing my name, instead of drawing", required=False)
    photos = forms.ChoiceField(
        choices=PHOTO_CHOICES,
        required=False,
        widget=forms.RadioSelect,
        help_text="A choice of its own: the order does not depend on it. Without an answer nothing is shown.",
    )
    agreed = forms.BooleanField(required=False)
    shown = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, consent: str, photo_words: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["agreed"].label = consent
        self.fields["photos"].label = photo_words.strip() or PHOTO_WORDS
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
            "photos",
            "agreed",
            button=None,
            tag=False,
        )

    def take(self, problems: tuple[Problem, ...]) -> None:
        """Put what stands in the way beside its field."""
        for problem in problems:
            where = {"strokes": "typed", "sheet": None}.get(problem.where, problem.where)
            self.add_error(where if where in self.fields else None, problem.says)

    def signer(
        self, request: HttpRequest, *, witness: Person | None, link: PrivateLink | None = None
    ) -> sheets.Signer:
        """Who signs, by what was answered. NotSigned says what is wrong with the mark, and what else is missing."""
        answers = self.cleaned_data
        strokes = None
        if not answers["typed"]:
            strokes = strokes_from(answers["strokes"])
            if isinstance(strokes, Problem):
                raise sheets.NotSigned((strokes, *self._also_missing()))
        return sheets.Signer(
            name=answers["name"].strip(),
            strokes=strokes,
            agreed=answers["agreed"],
            shown=answers["shown"],
            address=request.META.get("REMOTE_ADDR") or None,
            browser=request.headers.get("User-Agent", ""),
            witness=witness,
            link=link,
            photo_permission={"yes": True, "no": False}.get(answers["photos"]),
        )

    def _also_missing(self) -> tuple[Problem, ...]:
        """With the mark missing, say what else is missing too, so that nobody is sent round twice."""
        missing = []
        if not self.cleaned_data["name"].strip():
            missing.append(Problem("name", "Please give the name of the person who signs."))
        if not self.cleaned_data["agreed"]:
            missing.append(
                Problem(
                    "agreed",
                    "Please tick that you agree to this sheet; without it nothing is signed.",
                )
            )
        return tuple(missing)
