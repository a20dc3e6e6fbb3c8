"""What does an inquiry ask? Its fields, and what was answered as the trade's values."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.http import QueryDict

from consult.actions.inquiries import Said
from consult.core.design import Client, Event, HandOver, How
from consult.core.event import WORDS_TO_ASK, event_problems
from shop.core.book import ShopBook
from shop.core.money import Money
from shop.forms import NumberField, WholeNumberField
from shop.pages.fields import MoneyField

MOST_GUESTS = 2000
HONEYPOT = "website"  # a field that people never see; whatever fills in every field fills it in
LONGEST_KEPT = 8_000  # characters of one answer in a draft, well beyond what any field takes


class InquiryForm(forms.Form):
    """The answers of an inquiry. `soft` is while it is being filled in: what is still empty is not wrong yet."""

    occasion = forms.CharField(
        label="Occasion",
        max_length=120,
        error_messages={"required": "Say what the cake is for, such as a wedding or a birthday."},
    )
    guests = WholeNumberField(
        label="Guests", least=1, most=MOST_GUESTS, step=1, help_text="A rough count is fine."
    )
    slice = forms.ChoiceField(label="Size of a slice", widget=forms.RadioSelect)
    event_on = forms.DateField(
        label="Date",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        input_formats=("%Y-%m-%d", "%d %b %Y", "%d %B %Y", "%d.%m.%Y"),
        error_messages={
            "invalid": "Type a date as 2027-05-15 or 15 May 2027.",
            "required": "Say which day the cake is for; choose one below or type it.",
        },
    )
    hand_over_how = forms.ChoiceField(
        label="How the cake gets there",
        choices=(
            (How.COLLECTION.value, "I collect it"),
            (How.DELIVERY.value, "Deliver it, please"),
        ),
        widget=forms.RadioSelect,
    )
    place = forms.CharField(label="Where to: venue or address", max_length=300, required=False)
    distance_km = NumberField(
        label="About how far from us",
        unit="km",
        least=Decimal(0),
        most=Decimal(9999),
        places=1,
        required=False,
        help_text="A guess will do: the price of the way depends on it.",
    )
    wishes = forms.CharField(
        label="Wishes",
        max_length=3_000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text="Flavours, colours, flowers, a theme: whatever you have in mind.",
        error_messages={
            "max_length": "That is more than fits here: 3,000 characters. Please write it shorter."
        },
    )
    avoid = forms.MultipleChoiceField(
        label="The cake must be free of",
        choices=[(word, word) for word in WORDS_TO_ASK],
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Say what the cake must be without, not who has an allergy. Our kitchen handles many "
        "ingredients; ask us about traces.",
    )
    budget = MoneyField(label="Budget", required=False)
    client_name = forms.CharField(
        label="Your name",
        max_length=200,
        error_messages={"required": "Tell us your name, so that we know whom we write to."},
    )
    client_email = forms.EmailField(
        label="E-mail",
        max_length=254,
        error_messages={
            "required": "We answer by e-mail: type your address, such as ann@example.org.",
            "invalid": "That is no e-mail address we can write to, such as ann@example.org.",
        },
    )
    client_phone = forms.CharField(label="Phone", max_length=60, required=False)

    def __init__(self, data: Any, *, book: ShopBook, today: date, soft: bool = False) -> None:
        self.book, self.today, self.soft = book, today, soft
        super().__init__(data)
        self.fields["slice"].choices = [(size.code, size.name) for size in book.slices]
        if len(book.slices) < 2:
            del self.fields["slice"]
        self.fields["budget"].set_currency(book.currency)
        for field in self.fields.values():
            field.was_required, field.required = field.required, field.required and not soft
            # "(optional)" stands beside what stays optional in the end, whatever the moment
            field.goes_without_saying = field.was_required
        self.fields["place"].goes_without_saying = True  # needed just where it is shown
        for name, token in (
            ("client_name", "name"),
            ("client_email", "email"),
            ("client_phone", "tel"),
        ):
            self.fields[name].widget.attrs["autocomplete"] = token
        self.fields["client_phone"].widget.attrs["type"] = "tel"
        self.fields["client_phone"].widget.input_type = "tel"
        self.fields["occasion"].widget.attrs["list"] = "occasions"

    def clean(self) -> dict[str, Any]:
        answers = super().clean() or {}
        event = Event(answers.get("occasion", ""), answers.get("event_on"))
        for problem in event_problems(event, self.hand_over(), self.book, self.today):
            if problem.where in answers:
                self.add_error(problem.where, problem.says)
        wants_delivery = answers.get("hand_over_how") == How.DELIVERY.value
        if (
            wants_delivery
            and not self.soft
            and not answers.get("place")
            and "place" not in self.errors
        ):
            self.add_error("place", "Say where we would bring it: a venue, a street or a town.")
        return answers

    def hand_over(self) -> HandOver:
        """How it leaves, as far as it was answered."""
        answers = self.cleaned_data
        if answers.get("hand_over_how") != How.DELIVERY.value:
            return HandOver()
        away = answers.get("distance_km") or Decimal(0)
        return HandOver(How.DELIVERY, None, away, answers.get("place", ""))

    def slice_code(self) -> str:
        code: str = self.cleaned_data.get("slice") or self.book.slices[0].code
        return code

    def budget_said(self) -> Money | None:
        amount: Money | None = self.cleaned_data.get("budget")
        return amount or None

    def said(self) -> Said:
        """All of it, once it is valid."""
        answers = self.cleaned_data
        return Said(
            client=Client(
                answers["client_name"], answers["client_email"], answers.get("client_phone", "")
            ),
            event=Event(answers["occasion"], answers["event_on"]),
            hand_over=self.hand_over(),
            guests=answers["guests"],
            slice=self.slice_code(),
            avoid=tuple(answers["avoid"]),
            wishes=answers.get("wishes", ""),
            budget=self.budget_said(),
        )


def typed(data: QueryDict) -> dict[str, list[str]]:
    """What was typed into the fields of an inquiry, as a draft keeps it: unjudged, but no NUL and no end of it."""
    return {
        name: [value.replace("\0", "")[:LONGEST_KEPT] for value in data.getlist(name)[:40]]
        for name in InquiryForm.base_fields
        if name in data
    }


def as_data(answers: Mapping[str, list[str]], book: ShopBook) -> QueryDict:
    """A draft's answers as the form takes them; what nobody needs to say is said for a new one."""
    data = QueryDict(mutable=True)
    for name, values in answers.items():
        data.setlist(name, values)
    if not data.get("hand_over_how"):
        data["hand_over_how"] = How.COLLECTION.value
    if not data.get("slice"):
        data["slice"] = book.slices[0].code
    return data
