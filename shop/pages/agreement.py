"""What is agreed beside the cake: what cancelling costs, until when things change, risk, photographs, withdrawal."""

from dataclasses import replace

from django import forms
from django.contrib import messages
from django.db import transaction
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from shop.access import owner_only
from shop.actions import change_shop, set_cancelling
from shop.core.fairness import fairness_cautions, schedule_problems
from shop.core.policies import CancelStep
from shop.forms import WholeNumberField
from shop.models import CancellationStep, current_shop
from shop.models.agreement import PLACES
from shop.pages.fields import PercentField
from shop.pages.shop_form import ShopForm
from shop.starting_texts import NOTE, STARTING_TEXTS, is_starting, starting_texts

STEPS = (1, 2, 3, 4, 5, 6)
TEXTS = {"risk_words": "risk", "photo_words": "photos", "withdrawal_words": "withdrawal"}


def _days(label, **kwargs):
    return WholeNumberField(label=label, unit="days before", least=0, most=400, **kwargs)


def _text(label, most, rows, help_text):
    return forms.CharField(
        label=label,
        max_length=most,
        required=False,
        widget=forms.Textarea({"rows": rows}),
        help_text=help_text,
    )


def _notice():
    return _days("Notice of at least", required=False)


def _kept():
    return PercentField(label="Kept of the total", required=False)


class AgreementForm(ShopForm):
    """Steps that are left empty are not there. `starting` are texts to begin with, not kept yet."""

    changes_until_days = _days("Design can change until")
    count_until_days = _days("Guest count can change until")
    risk_words = _text(
        "Who carries the risk", 2_000, 6, "After hand-over, for collection and for delivery."
    )
    photo_words = _text(
        "Photographs",
        1_000,
        4,
        "Asked as a question of its own at signing, never as a condition. No answer allows nothing.",
    )
    withdrawal_words = _text(
        "Withdrawing",
        4_000,
        7,
        "Whether a client may withdraw, or that the law gives no such right for this order.",
    )
    place_of_law = forms.ChoiceField(
        label="Where you trade",
        choices=PLACES,
        required=False,
        help_text="Whose rules the cautions beside the schedule speak of.",
    )
    cancel_days_1 = _notice()
    cancel_share_1 = _kept()
    cancel_days_2 = _notice()
    cancel_share_2 = _kept()
    cancel_days_3 = _notice()
    cancel_share_3 = _kept()
    cancel_days_4 = _notice()
    cancel_share_4 = _kept()
    cancel_days_5 = _notice()
    cancel_share_5 = _kept()
    cancel_days_6 = _notice()
    cancel_share_6 = _kept()

    sections = (
        ("Where you trade", ("place_of_law",)),
        (
            "What is kept when a client cancels",
            tuple(f"cancel_{what}_{step}" for step in STEPS for what in ("days", "share")),
        ),
        ("Changes", ("changes_until_days", "count_until_days")),
        ("Texts", ("risk_words", "photo_words", "withdrawal_words")),
    )

    def __init__(self, *args, starting=None, **kwargs):
        self.starting = starting
        self.kept_steps = list(CancellationStep.objects.all())
        super().__init__(*args, **kwargs)
        self.helper.layout[1].css_class = "pairs twos"  # notice and share of a step side by side
        for name in self.fields:
            self.fields[name].goes_without_saying = name.startswith("cancel_")
        for name, field in TEXTS.items():
            words = self.data.get(name) if self.is_bound else self.initial.get(name)
            if words and is_starting(field, words):
                self.fields[name].help_text += f" {NOTE}"

    def kept(self, name):
        what, _, step = name.removeprefix("cancel_").partition("_")
        if name.startswith("cancel_"):
            if int(step) > len(self.kept_steps):
                return None
            row = self.kept_steps[int(step) - 1].as_value()
            return row.days_before if what == "days" else row.share
        if self.starting is not None:
            if name in TEXTS:
                return getattr(self.starting, TEXTS[name])
            if name == "place_of_law":
                return self.starting.place
        return super().kept(name)

    def clean(self):
        said = self.cleaned_data
        for step in STEPS:
            days, share = said.get(f"cancel_days_{step}"), said.get(f"cancel_share_{step}")
            if days is None and share is not None and f"cancel_days_{step}" not in self.errors:
                self.add_error(f"cancel_days_{step}", "Say from how many days before this is kept.")
            if share is None and days is not None and f"cancel_share_{step}" not in self.errors:
                self.add_error(f"cancel_share_{step}", "Say what share is kept; 0 for nothing.")
        for says in schedule_problems(self.steps()) if not self.errors else ():
            self.add_error(None, says)
        return said

    def steps(self):
        """The steps that were filled in."""
        said = self.cleaned_data
        pairs = [(said.get(f"cancel_days_{at}"), said.get(f"cancel_share_{at}")) for at in STEPS]
        return tuple(
            CancelStep(days, share)
            for days, share in pairs
            if days is not None and share is not None
        )

    def values(self):
        return {
            name: value
            for name, value in super().values().items()
            if not name.startswith("cancel_")
        }


@transaction.atomic
def _save(shop, form):
    change_shop(shop, **form.values())
    set_cancelling(shop, steps=form.steps())


@owner_only
@require_http_methods(["GET", "POST"])
def agreement(request):
    shop = current_shop()
    starting = starting_texts(request.GET.get("starting", ""))
    form = AgreementForm(request.POST or None, shop=shop, row=shop, starting=starting)
    if request.method == "POST":
        form = AgreementForm(request.POST, shop=shop, row=shop)
        if form.is_valid():
            _save(shop, form)
            messages.success(request, "Saved. It holds for every new quote; what was quoted stays.")
            return redirect("shop_agreement")
    context = {
        "form": form,
        "here": "shop_agreement",
        "starting": starting if not form.is_bound else None,
        "places": STARTING_TEXTS,
        "note": NOTE,
        "cautions": fairness_cautions(
            replace(shop.agreement(), place=starting.place) if starting else shop.agreement(),
            deposit_share=shop.deposit_share,
            bake_days_before=shop.bake_days_before,
        ),
    }
    return render(request, "shop/agreement.html", context, status=422 if form.errors else 200)
