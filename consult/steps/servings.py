"""How many will it feed, with what slice, and is the top tier kept back?"""

from decimal import Decimal
from typing import Any

from crispy_forms.layout import Row
from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from consult.actions import consultations
from consult.core.design import Need
from consult.core.venue_values import cutting_guide_of
from consult.drawings import knife_plan
from consult.finding import AtHand, consultation_at_hand
from consult.forms import StepForm
from consult.page import keep_answer, show
from shop.core.measures import length
from shop.forms import WholeNumberField


class ServingsForm(StepForm):
    guests = WholeNumberField(
        label="Guests",
        least=1,
        most=2000,
        step=5,
        error_messages={"required": "Type how many guests there are, from 1 to 2000."},
    )
    slice = forms.ChoiceField(label="Slice", widget=forms.RadioSelect)
    eating_percent = WholeNumberField(
        label="Of them, how many eat cake",
        least=1,
        most=100,
        step=5,
        unit="%",
        help_text="100 % is the safe answer. Where there is other dessert, some plan for 80 %.",
    )
    spare = WholeNumberField(label="Spare servings", least=0, most=500, step=1, required=False)
    keep_top = forms.BooleanField(
        label="Keep the top tier for the couple",
        required=False,
        help_text="The top tier is then baked and priced, but not counted for the guests.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        units = self.at.book.identity.units
        self.fields["slice"].choices = [
            (
                size.code,
                f"{size.name}, {length(size.width_mm, units)} x {length(size.depth_mm, units)}",
            )
            for size in self.at.book.slices
        ]

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        row = at.row
        return {
            "guests": row.guests,
            "slice": row.slice,
            "eating_percent": int(row.eating_share * 100),
            "spare": row.spare,
            "keep_top": row.keep_top,
        }

    def layout(self) -> tuple[Any, ...]:
        return ("guests", "slice", Row("eating_percent", "spare"), "keep_top")

    def need(self) -> Need:
        answers = self.cleaned_data
        return Need(
            guests=answers["guests"],
            slice=answers["slice"],
            eating_share=Decimal(answers["eating_percent"]) / 100,
            spare=answers["spare"] or 0,
            keep_top=answers["keep_top"],
        )


def _plans(at: AtHand) -> list[dict[str, Any]]:
    """Every tier and kitchen cake as the guide for the venue has it, top first, each with its picture."""
    guide = cutting_guide_of(at.brief, at.book, at.row.number, at.row.revision)
    return [
        {
            "tier": one,
            "drawing": one.plan
            and knife_plan(one.plan, one.height_mm, guide.units, f"plan{place}"),
        }
        for place, one in enumerate([*guide.tiers, *guide.kitchen_cakes])
    ]


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int) -> HttpResponse:
    at = consultation_at_hand(pk)
    if request.method == "GET" and "plans" in request.GET:  # asked for when the line is opened
        plans = _plans(at)
        if request.htmx:
            return render(request, "consult/_knife_plans.html", {"plans": plans})
        return show(request, at, "servings", form=ServingsForm(at=at), plans=plans)
    form = ServingsForm(request.POST or None, at=at)
    if form.is_valid():
        return keep_answer(
            request,
            at,
            "servings",
            lambda seen: consultations.set_need(
                at.row, by=request.user, seen=seen, need=form.need()
            ),
            form=form,
            afresh=lambda now: {"form": ServingsForm(at=now)},
        )
    return show(request, at, "servings", form=form)
