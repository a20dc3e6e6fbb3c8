"""What does the page show beside what is typed? The range of prices, the budget in it, and the month with its days."""

from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.http import HttpRequest
from django.utils import timezone

from consult.core.design import HandOver
from consult.core.inquiring import PriceRange, brief_asked, budget_within
from consult.core.working_days import day_words
from consult.finding import Edition
from consult.inquiry.form import InquiryForm
from consult.inquiry.reckoned import Asker, Month, TooOften, month_for, month_named, range_for

A_SMALL_CAKE = 20  # guests to show the days for, while nobody has said how many
A_CHOICE = 5  # free days; with fewer left, the page opens on the month after

# Why there is no range yet, by a word that the page has a sentence for.
NO_GUESTS, TOO_FAR, OFTEN, NONE_STANDS = "guests", "far", "often", "none"


def shown(request: HttpRequest, form: InquiryForm, edition: Edition) -> dict[str, Any]:
    """The context of the page that follows from the answers."""
    prices, no_prices = prices_for(request, form, edition)
    budget, chosen = form.budget_said(), form.cleaned_data.get("event_on")
    return {
        "form": form,
        "prices": prices,
        "no_prices": no_prices,
        "budget": budget,
        "within": budget_within(budget, prices.least, prices.most) if prices and budget else "",
        "chosen": chosen,
        "chosen_words": day_words(chosen, timezone.localdate()) if chosen else "",
        "notice": edition.book.policies.least_notice_days,
        "minimum": edition.book.policies.minimum_order,
        "days": _days(request, form, edition, prices),
    }


def prices_for(
    request: HttpRequest, form: InquiryForm, edition: Edition
) -> tuple[PriceRange | None, str]:
    """The range as far as it can be told, or the word for why not."""
    answers = form.cleaned_data
    if not answers.get("guests"):
        return None, NO_GUESTS
    if "distance_km" in form.errors:
        return None, TOO_FAR
    return _prices(request, form, edition, answers["guests"])


def _prices(
    request: HttpRequest, form: InquiryForm, edition: Edition, guests: int
) -> tuple[PriceRange | None, str]:
    on = form.cleaned_data.get("event_on")
    brief = brief_asked(guests, form.slice_code(), form.hand_over(), on, edition.book)
    try:
        prices = range_for(brief, edition, timezone.localdate(), Asker.of(request))
    except TooOften:
        return None, OFTEN
    return prices, "" if prices else NONE_STANDS


@dataclass(frozen=True, slots=True)
class Days:
    """The month on the page; `stands` is how the chosen day stands, "" without one. None: too often asked."""

    month: Month | None
    stands: str = ""
    guests: int = 0  # it is shown for; 0 while nobody has said


def _days(
    request: HttpRequest, form: InquiryForm, edition: Edition, prices: PriceRange | None
) -> Days | None:
    """None where there is no cake to show days for."""
    chosen: date | None = form.cleaned_data.get("event_on")
    if prices is None and not form.cleaned_data.get("guests"):
        small = brief_asked(A_SMALL_CAKE, form.slice_code(), HandOver(), None, edition.book)
        try:
            prices = range_for(small, edition, timezone.localdate(), Asker.of(request))
        except TooOften:
            return Days(None)
    if prices is None:
        return None
    brief, asker = replace(prices.brief, design=prices.decorated.design), Asker.of(request)
    today = timezone.localdate()
    asked = _month_asked(request, chosen)
    first = month_named(asked, chosen or today, today)
    try:
        month = month_for(first, chosen, brief, edition, asker)
        if not asked and not chosen and month.free < A_CHOICE and month.later:
            month = month_for(month_named(month.later, today, today), None, brief, edition, asker)
        around = month
        if chosen and (other := month_named("", chosen, today)) != first:
            around = month_for(other, chosen, brief, edition, asker)
    except TooOften:
        return Days(None)
    found = (day.stands for week in around.weeks for day in week if day and day.is_chosen)
    return Days(month, next(found, ""), form.cleaned_data.get("guests") or 0)


def _month_asked(request: HttpRequest, chosen: date | None) -> str:
    """The month turned to; else the one on the screen, as long as no other day was chosen since."""
    turned = request.POST.get("month") or request.GET.get("month")
    if turned:
        return turned
    if request.POST.get("shown_for", "") == (chosen.isoformat() if chosen else ""):
        return request.POST.get("shown", "")
    return ""
