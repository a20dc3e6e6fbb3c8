"""When the shop works: bench hours of each weekday, when cakes are handed over, and closed days."""

from datetime import timedelta

from crispy_forms.layout import Fieldset
from django import forms
from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from shop.access import owner_only
from shop.actions import change_shop, close_days, open_day
from shop.finding import closed_days_from
from shop.forms import WholeNumberField, form_helper
from shop.models import ClosedDay, current_shop
from shop.models.setup import WEEKDAYS
from shop.pages.fields import BenchHoursField
from shop.pages.shop_form import ShopForm

LONGEST_CLOSURE_DAYS = 120


def _time(label):
    return forms.TimeField(
        label=label,
        widget=forms.TimeInput({"type": "time"}, format="%H:%M"),
        error_messages={"invalid": "Type a time, like 09:00."},
    )


class HoursForm(ShopForm):
    monday_minutes = BenchHoursField(label="Monday")
    tuesday_minutes = BenchHoursField(label="Tuesday")
    wednesday_minutes = BenchHoursField(label="Wednesday")
    thursday_minutes = BenchHoursField(label="Thursday")
    friday_minutes = BenchHoursField(label="Friday")
    saturday_minutes = BenchHoursField(label="Saturday")
    sunday_minutes = BenchHoursField(label="Sunday")
    hand_over_from = _time("From")
    hand_over_until = _time("Until")
    bake_days_before = WholeNumberField(
        label="A cake is begun at most",
        unit="days before",
        least=0,
        most=14,
        step=1,
        help_text="Earlier days are not used for it, so that it is fresh.",
    )

    sections = (
        ("Bench hours, all hands together", tuple(f"{day}_minutes" for day in WEEKDAYS)),
        ("Hand-over", ("hand_over_from", "hand_over_until")),
        ("Freshness", ("bake_days_before",)),
    )

    def clean(self):
        said = self.cleaned_data
        first, last = said.get("hand_over_from"), said.get("hand_over_until")
        if first and last and last <= first:
            self.add_error("hand_over_until", "Hand-over must end after it begins.")
        return said


class ClosedForm(forms.Form):
    first = forms.DateField(
        label="Closed on",
        widget=forms.DateInput({"type": "date"}),
        error_messages={"invalid": "Type a date."},
    )
    last = forms.DateField(
        label="Until and with",
        required=False,
        widget=forms.DateInput({"type": "date"}),
        error_messages={"invalid": "Type a date."},
        help_text="Left empty: that one day.",
    )
    why = forms.CharField(label="Why", max_length=80, required=False)
    helper = form_helper(
        Fieldset("Close more days", "first", "last", "why", css_class="pairs"),
        button=None,
        tag=False,
    )

    def clean(self):
        said = self.cleaned_data
        first, last = said.get("first"), said.get("last") or said.get("first")
        if first and last and last < first:
            self.add_error("last", "The last day cannot be before the first.")
        elif first and last - first > timedelta(days=LONGEST_CLOSURE_DAYS):
            self.add_error("last", f"Close at most {LONGEST_CLOSURE_DAYS} days at once.")
        said["last"] = last
        return said


def _page(request, hours_form, closed_form):
    context = {
        "here": "shop_hours",
        "hours_form": hours_form,
        "closed_form": closed_form,
        "closed": closed_days_from(timezone.localdate()),
    }
    wrong = bool(hours_form.errors or closed_form.errors)
    return render(
        request, "shop/hours.html", context | {"is_wrong": wrong}, status=422 if wrong else 200
    )


@owner_only
@require_http_methods(["GET", "POST"])
def hours(request):
    shop = current_shop()
    form = HoursForm(request.POST or None, shop=shop, row=shop)
    if request.method == "POST" and form.is_valid():
        change_shop(shop, **form.values())
        messages.success(request, "Your hours are saved.")
        return redirect("shop_hours")
    return _page(request, form, ClosedForm())


@owner_only
@require_POST
def close(request):
    shop, form = current_shop(), ClosedForm(request.POST)
    if form.is_valid():
        said = form.cleaned_data
        close_days(said["first"], last=said["last"], why=said["why"])
        messages.success(request, "These days are closed.")
        return redirect("shop_hours")
    return _page(request, HoursForm(shop=shop, row=shop), form)


@owner_only
@require_POST
def open_again(request, pk):
    day = get_object_or_404(ClosedDay, pk=pk)
    open_day(day)
    messages.success(request, f"{day.on:%a %d %b %Y} is open again.")
    return redirect("shop_hours")
