"""What coat and what colour is on each tier?"""

from typing import Any

from crispy_forms.layout import Fieldset
from django import forms
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from consult.actions import designs
from consult.colouring import colour_choices, own_colour_field, picked
from consult.core.allergens import unfit_for
from consult.core.design import Swatch, Tier
from consult.core.holding import Coat
from consult.core.working_days import day_words
from consult.finding import AtHand, consultation_at_hand
from consult.forms import Fold, PlainSelect, StepForm
from consult.offers import coats_for
from consult.page import keep_answer, show
from shop.core.catalogue import Finish
from shop.core.measures import minutes_written


def _words(finish: Finish, coat: Coat, at: AtHand) -> str:
    """Its name, and what choosing it on that tier comes to: price, hours, the date, the client."""
    price = coat.adding.price.written(at.book.identity.locale) if coat.adding.price else "no extra"
    said = [price, minutes_written(coat.adding.minutes)]
    if coat.breaks and at.brief.event.on:
        said.append(f"does not fit before {day_words(at.brief.event.on, at.today)}")
    unfit = unfit_for(finish.recipe, at.book, at.brief.avoid)
    if unfit:
        said.append(f"contains {', '.join(unfit)}, not for this client")
    return f"{finish.name}: {', '.join(said)}"


class FinishesForm(StepForm):
    """A finish and a colour for each tier, base first."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        colours = colour_choices(self.at.design, none="the finish's own")
        for number, coats in enumerate(coats_for(self.at)):
            self.fields[f"finish_{number}"] = forms.ChoiceField(
                label="Finish",
                widget=PlainSelect,
                choices=[
                    (finish.code, _words(finish, coat, self.at))
                    for finish, coat in zip(self.at.book.finishes, coats, strict=True)
                ],
            )
            self.fields[f"colour_{number}"] = forms.ChoiceField(
                label="Colour", required=False, widget=forms.RadioSelect, choices=colours
            )
            self.fields[f"own_{number}"] = own_colour_field("Another colour")

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        return {
            key: value
            for number, tier in enumerate(at.design.tiers)
            for key, value in (
                (f"finish_{number}", tier.finish or at.book.finishes[0].code),
                (f"colour_{number}", tier.colour),
                (f"own_{number}", tier.colour or "#ffffff"),
            )
        }

    def layout(self) -> tuple[Any, ...]:
        return tuple(self._tier(*one) for one in reversed([*enumerate(self.at.design.tiers)]))

    def _tier(self, number: int, tier: Tier) -> Fieldset:
        colours = (f"colour_{number}", f"own_{number}")
        words = f"Colour: {tier.colour_name or 'the finish’s own'}"
        is_open = len(self.at.design.tiers) < 3 or bool(set(colours) & set(self.errors))
        return Fieldset(
            f"Tier {number + 1}: {self.at.reckoning.tiers[number].name}",
            f"finish_{number}",
            Fold(words, *colours, is_open=is_open),
            css_class="colours compact",
        )

    def clean(self) -> dict[str, Any]:
        answers = super().clean() or {}
        for number in range(len(self.at.design.tiers)):
            try:
                picked(
                    answers.get(f"colour_{number}", ""),
                    answers.get(f"own_{number}", ""),
                    self.at.design,
                )
            except ValueError:
                self.add_error(f"own_{number}", "Choose a colour, or write one as #c9a227.")
        return answers

    def finishes(self) -> tuple[str, ...]:
        return tuple(
            self.cleaned_data[f"finish_{number}"] for number in range(len(self.at.design.tiers))
        )

    def colours(self) -> tuple[Swatch | None, ...]:
        answers = self.cleaned_data
        return tuple(
            picked(answers[f"colour_{number}"], answers[f"own_{number}"], self.at.design)
            for number in range(len(self.at.design.tiers))
        )


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int) -> HttpResponse:
    at = consultation_at_hand(pk)
    data = request.POST.copy() if request.method == "POST" else None
    if data and data.get("same"):  # all tiers as that one
        for name in [key for key in data if key.startswith(("finish_", "colour_", "own_"))]:
            data[name] = data.get(f"{name.split('_')[0]}_{data['same']}", data[name])
    form = FinishesForm(data, at=at)
    if form.is_valid() and at.design.tiers:
        return keep_answer(
            request,
            at,
            "finishes",
            lambda seen: designs.choose_finishes(
                at.row,
                at.design,
                by=request.user,
                seen=seen,
                finishes=form.finishes(),
                colours=form.colours(),
            ),
            form=form,
            afresh=lambda now: {"form": FinishesForm(at=now)},
        )
    return show(request, at, "finishes", form=form)
