"""Who is it for, what for, when, and where does it leave the shop's hands?"""

import calendar
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from crispy_forms.layout import HTML, Fieldset, Row
from django import forms
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from consult.actions import consultations
from consult.core.design import Event, HandOver, How
from consult.core.event import WORDS_TO_ASK, event_problems
from consult.core.timeline import free_days
from consult.finding import AtHand, consultation_at_hand
from consult.forms import StepForm
from consult.page import keep_answer, show
from shop.forms import NumberField

OCCASIONS = ("wedding", "anniversary", "birthday", "christening", "graduation", "retirement")


class EventForm(StepForm):
    client_name = forms.CharField(label="Client's name", max_length=200, required=False)
    client_phone = forms.CharField(label="Phone", max_length=60, required=False)
    client_email = forms.EmailField(
        label="E-mail",
        required=False,
        error_messages={
            "invalid": "That is no e-mail address we can write to, such as ann@example.org."
        },
    )
    occasion = forms.CharField(label="Occasion", max_length=120, required=False)
    event_on = forms.DateField(
        label="Date of the event",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        input_formats=("%Y-%m-%d", "%d %b %Y", "%d %B %Y", "%d.%m.%Y"),
        error_messages={"invalid": "Type a date as 2027-05-15 or 15 May 2027."},
    )
    hand_over_how = forms.ChoiceField(
        label="How it leaves the shop",
        choices=(
            (How.COLLECTION.value, "The client collects it"),
            (How.DELIVERY.value, "We deliver it"),
        ),
        widget=forms.RadioSelect,
    )
    hand_over_at = forms.TimeField(
        label="Hand-over time",
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        error_messages={"invalid": "Type a time as 14:00."},
    )
    distance_km = NumberField(
        label="Distance one way",
        unit="km",
        least=Decimal(0),
        most=Decimal(9999),
        places=1,
        required=False,
    )
    place = forms.CharField(label="Venue or address", max_length=300, required=False)
    avoid = forms.MultipleChoiceField(
        label="The cake must be free of",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Ask every client. Say what the cake must be without, not who has an allergy.",
    )
    notes = forms.CharField(
        label="Notes",
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="These notes are printed on the design sheet.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["avoid"].choices = [(word, word) for word in WORDS_TO_ASK]
        self.fields["occasion"].widget.attrs["list"] = "occasions"
        for name, token in (
            ("client_name", "off"),
            ("client_phone", "off"),
            ("client_email", "off"),
        ):
            self.fields[name].widget.attrs["autocomplete"] = token

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        row = at.row
        return {
            "client_name": row.client_name,
            "client_phone": row.client_phone,
            "client_email": row.client_email,
            "occasion": row.occasion,
            "event_on": row.event_on,
            "hand_over_how": row.hand_over_how,
            "hand_over_at": row.hand_over_at,
            "distance_km": row.distance_km.normalize() if row.distance_km else None,
            "place": row.place,
            "avoid": row.avoid,
            "notes": row.notes,
        }

    def layout(self) -> tuple[Any, ...]:
        return (
            Fieldset(
                "The client",
                "client_name",
                Row("client_phone", "client_email"),
            ),
            Fieldset(
                "The day",
                "occasion",
                "event_on",
                HTML('{% include "consult/_calendar.html" %}'),
            ),
            Fieldset(
                "Hand-over",
                "hand_over_how",
                Row("hand_over_at", "distance_km"),
                "place",
            ),
            Fieldset("Must be avoided", "avoid"),
            "notes",
        )

    def hand_over(self) -> HandOver:
        answers = self.cleaned_data
        how = How(answers["hand_over_how"])
        away = (answers.get("distance_km") or Decimal(0)) if how is How.DELIVERY else Decimal(0)
        return HandOver(how, answers.get("hand_over_at"), away, answers.get("place", ""))

    def clean(self) -> dict[str, Any]:
        answers = super().clean() or {}
        if "hand_over_how" in answers:
            event = Event(answers.get("occasion", ""), answers.get("event_on"))
            for problem in event_problems(event, self.hand_over(), self.at.book, self.at.today):
                if problem.where in answers:
                    self.add_error(problem.where, problem.says)
        return answers


@dataclass(frozen=True, slots=True)
class CalendarDay:
    on: date
    is_free: bool
    is_past: bool
    is_chosen: bool


@dataclass(frozen=True, slots=True)
class CalendarMonth:
    name: str
    earlier: str
    later: str
    weeks: tuple[tuple[CalendarDay | None, ...], ...]


def month_of(at: AtHand, wanted: str) -> CalendarMonth:
    """A month with the days the shop can still take this cake on; `wanted` as "2027-05"."""
    chosen = at.row.event_on
    try:
        first = date.fromisoformat(f"{wanted}-01").replace(day=1)
        if abs(first.year - at.today.year) > 10:
            raise ValueError("no month to plan in")
    except ValueError:
        first = (chosen or at.today).replace(day=1)
    weeks = calendar.Calendar().monthdatescalendar(first.year, first.month)
    free = free_days(
        weeks[0][0],
        weeks[-1][-1],
        at.brief,
        at.book,
        at.reckoning.work,
        at.today,
        at.booked,
    )
    shown = tuple(
        tuple(
            CalendarDay(day, free.get(day, False), day < at.today, day == chosen)
            if day.month == first.month
            else None
            for day in week
        )
        for week in weeks
    )
    before = first.replace(year=first.year - (first.month == 1), month=(first.month - 2) % 12 + 1)
    later = first.replace(year=first.year + (first.month == 12), month=first.month % 12 + 1)
    return CalendarMonth(f"{first:%B %Y}", f"{before:%Y-%m}", f"{later:%Y-%m}", shown)


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int) -> HttpResponse:
    at = consultation_at_hand(pk)
    data = request.POST.copy() if request.method == "POST" else None
    if data and data.get("pick"):  # a day pressed in the calendar
        data["event_on"] = data["pick"]
    month = (data or request.GET).get("month", "")
    form = EventForm(data, at=at)
    extra = {"occasions": OCCASIONS}
    if form.is_valid():
        answers = form.cleaned_data
        return keep_answer(
            request,
            at,
            "event",
            lambda seen: consultations.set_event(
                at.row,
                by=request.user,
                seen=seen,
                client_name=answers["client_name"],
                client_email=answers["client_email"],
                client_phone=answers["client_phone"],
                occasion=answers["occasion"],
                event_on=answers["event_on"],
                hand_over=form.hand_over(),
                avoid=answers["avoid"],
                notes=answers["notes"],
            ),
            form=form,
            afresh=lambda now: {"form": EventForm(at=now), "month": month_of(now, month), **extra},
        )
    return show(request, at, "event", form=form, month=month_of(at, month), **extra)
