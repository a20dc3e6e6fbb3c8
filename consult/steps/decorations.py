"""What goes on the cake, how many, and where?"""

from collections import Counter
from typing import Any

from crispy_forms.layout import HTML, Fieldset, Row
from django import forms
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from consult.actions import designs
from consult.actions.keeping import Seen
from consult.colouring import OWN, colours_to_pick, own_colour_field, picked
from consult.core.allergens import unfit_for
from consult.core.design import ChosenDecoration, Kind, OwnPiece
from consult.core.own_pieces import own_code
from consult.finding import AtHand, consultation_at_hand
from consult.forms import Fold, PlainSelect, StepForm
from consult.offers import addings_for
from consult.page import keep_answer, show, whole_number
from shop.core.catalogue import Driver
from shop.core.money import Money
from shop.core.substances import SUBSTANCES
from shop.forms import MOST_MONEY, NumberField, WholeNumberField

WHOLE_CAKE = "all"


class DecorationsForm(StepForm):
    """Count, place and colour of each decoration that was put on."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        figures = self.at.reckoning.tiers
        places = [(WHOLE_CAKE, "the whole cake")] + [
            (str(number), f"tier {number + 1}, {figures[number].name}")
            for number in reversed(range(len(self.at.design.tiers)))
        ]
        colour_names = [
            ("", "its own"),
            *((swatch.hex, swatch.name) for swatch in colours_to_pick(self.at.design)),
            (OWN, "another colour"),
        ]
        for number, chosen in enumerate(self.at.design.decorations):
            decoration = self.at.book.decoration(chosen.what)
            counted = decoration.rate.driver is Driver.PER_PIECE
            self.fields[f"count_{number}"] = WholeNumberField(
                label="How many" if counted else "How often",
                least=1,
                most=500,
                step=1,
            )
            self.fields[f"tier_{number}"] = forms.ChoiceField(
                label="On", choices=places, widget=PlainSelect
            )
            self.fields[f"note_{number}"] = forms.CharField(
                label="The words, exactly as spelled"
                if decoration.symbol == "lettering"
                else "Where exactly",
                required=False,
                max_length=120,
            )
            if decoration.takes_colour:
                self.fields[f"colour_{number}"] = forms.ChoiceField(
                    label="Colour", required=False, choices=colour_names, widget=PlainSelect
                )
                self.fields[f"own_{number}"] = own_colour_field("Another colour")

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        return {
            key: value
            for number, chosen in enumerate(at.design.decorations)
            for key, value in (
                (f"count_{number}", chosen.count),
                (f"tier_{number}", WHOLE_CAKE if chosen.tier is None else str(chosen.tier)),
                (f"note_{number}", chosen.note),
                (f"colour_{number}", chosen.colour),
                (f"own_{number}", chosen.colour or "#ffffff"),
            )
        }

    def layout(self) -> tuple[Any, ...]:
        return tuple(self._on_the_cake(*one) for one in enumerate(self.at.design.decorations))

    def _on_the_cake(self, number: int, chosen: ChosenDecoration) -> Fieldset:
        wrong = {name for name in self.errors if name.endswith(f"_{number}")}
        off = HTML(
            f'<button class="button button-quiet take-off" name="take_off" value="{number}">'
            "Take it off</button>"
        )
        parts: list[Any] = [Row(f"count_{number}", f"tier_{number}", f"note_{number}", off)]
        if f"colour_{number}" in self.fields:
            colour = chosen.colour_name or "its own"
            fields = (f"colour_{number}", f"own_{number}")
            parts.append(Fold(f"Colour: {colour}", *fields, is_open=bool(wrong & set(fields))))
        name = self.at.book.decoration(chosen.what).name
        return Fieldset(name, *parts, css_class="colours compact")

    def clean(self) -> dict[str, Any]:
        answers = super().clean() or {}
        for number in range(len(self.at.design.decorations)):
            try:
                self._colour(answers, number)
            except ValueError:
                self.add_error(f"own_{number}", "Choose a colour, or write one as #c9a227.")
        return answers

    def _colour(self, answers: dict[str, Any], number: int) -> tuple[str, str]:
        swatch = picked(
            answers.get(f"colour_{number}", ""), answers.get(f"own_{number}", ""), self.at.design
        )
        return (swatch.hex, swatch.name) if swatch else ("", "")

    def decorations(self) -> tuple[ChosenDecoration, ...]:
        answers = self.cleaned_data
        return tuple(
            ChosenDecoration(
                chosen.what,
                answers[f"count_{number}"],
                None if answers[f"tier_{number}"] == WHOLE_CAKE else int(answers[f"tier_{number}"]),
                *self._colour(answers, number),
                note=answers[f"note_{number}"],
            )
            for number, chosen in enumerate(self.at.design.decorations)
        )


class OwnPieceForm(StepForm):
    """Something that is in no catalogue, for this cake alone."""

    own_name = forms.CharField(
        label="What it is",
        max_length=80,
        error_messages={"required": "Say what it is, such as: sugar hedgehog."},
    )
    own_price = NumberField(label="Price of one", least=0, most=MOST_MONEY, places=2)
    own_minutes = WholeNumberField(label="Minutes for one", unit="min", least=0, most=6000)
    own_cost = NumberField(
        label="What one costs you", least=0, most=MOST_MONEY, places=2, required=False
    )
    own_lead_days = WholeNumberField(
        label="Made ahead, at least", unit="days", least=0, most=60, required=False
    )
    own_eaten = forms.ChoiceField(
        label="Before serving",
        choices=(("yes", "It is eaten with the cake"), ("no", "It comes off before cutting")),
        widget=forms.RadioSelect,
        initial="yes",
    )
    own_contains = forms.MultipleChoiceField(
        label="It contains",
        required=False,
        choices=[(name, name) for name in SUBSTANCES],
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("own_price", "own_cost"):
            self.fields[name].unit = self.at.book.currency

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        return {"own_eaten": "yes"}

    def layout(self) -> tuple[Any, ...]:
        folded = ("own_cost", "own_lead_days", "own_contains")
        contains = Fold(
            "Its cost, days made ahead, allergens",
            Row("own_cost", "own_lead_days"),
            "own_contains",
            is_open=bool(set(folded) & set(self.errors)),
        )
        return (Row("own_name", "own_price", "own_minutes"), "own_eaten", contains)

    def piece(self) -> OwnPiece:
        answers, currency = self.cleaned_data, self.at.book.currency
        is_eaten = answers["own_eaten"] == "yes"
        return OwnPiece(
            name=answers["own_name"],
            price=Money.of(round(answers["own_price"], 2), currency),
            cost=Money.of(round(answers["own_cost"] or 0, 2), currency),
            minutes=answers["own_minutes"],
            is_eaten=is_eaten,
            comes_off="" if is_eaten else "lift it off",
            lead_days=answers["own_lead_days"] or 0,
            contains=frozenset(answers["own_contains"]),
        )


def shown(at: AtHand, form: Any = None, own: Any = None) -> dict[str, Any]:
    """What is on the cake, and the catalogue to add from."""
    on = Counter(chosen.what for chosen in at.design.decorations)
    things = at.book.decorations if at.design.tiers else ()
    addings = addings_for(at, tuple(_first_place(at, thing.code) for thing in things))
    return {
        "form": form or DecorationsForm(at=at),
        "own": own or OwnPieceForm(at=at),
        "catalogue": [
            {
                "thing": thing,
                "times": on[thing.code],
                "adding": added,
                "unfit": unfit_for(thing.recipe, at.book, at.brief.avoid),
            }
            for thing, added in zip(things, addings, strict=True)
        ],
        "also": True,
    }


def _first_place(at: AtHand, what: str) -> ChosenDecoration:
    """A decoration newly put on: pieces go to the highest tier that is served, the rest round the whole cake."""
    if at.book.decoration(what).rate.driver is not Driver.PER_PIECE:
        return ChosenDecoration(what, 1, None)
    return _on_top(at, what)


def _on_top(at: AtHand, what: str) -> ChosenDecoration:
    """One piece on the highest tier that is served."""
    served = [place for place, tier in enumerate(at.design.tiers) if tier.kind is Kind.EATEN]
    return ChosenDecoration(what, 1, served[-1] if served else len(at.design.tiers) - 1)


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int) -> HttpResponse:
    at = consultation_at_hand(pk)
    form = DecorationsForm(request.POST if request.method == "POST" else None, at=at)
    add, take_off = request.POST.get("add", ""), whole_number(request, "take_off")
    if request.POST.get("form") == "own" and at.design.tiers:
        return _add_own(request, at)
    if not form.is_valid() or not at.design.tiers:
        return show(request, at, "decorations", **shown(at, form))
    decorations = form.decorations()
    if add in {decoration.code for decoration in at.book.decorations}:
        decorations += (_first_place(at, add),)
    if take_off is not None:
        decorations = tuple(d for n, d in enumerate(decorations) if n != take_off)

    def act(seen: Seen) -> object:
        return designs.choose_decorations(
            at.row, at.design, by=request.user, seen=seen, decorations=decorations
        )

    return keep_answer(request, at, "decorations", act, form=form, afresh=shown)


def _add_own(request: HttpRequest, at: AtHand) -> HttpResponse:
    """Put something on that is in no catalogue."""
    own = OwnPieceForm(request.POST, at=at)
    if not own.is_valid():
        return show(request, at, "decorations", status=422, **shown(at, own=own))
    piece = own.piece()
    pieces = tuple(dict.fromkeys((*at.design.own, piece)))
    decorations = (*at.design.decorations, _on_top(at, own_code(piece)))

    def act(seen: Seen) -> object:
        return designs.choose_decorations(
            at.row, at.design, by=request.user, seen=seen, decorations=decorations, own=pieces
        )

    return keep_answer(request, at, "decorations", act, afresh=shown)
