"""What cake and what filling is inside each tier?"""

from typing import Any

from crispy_forms.layout import Fieldset, Row
from django import forms
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from consult.actions import designs
from consult.core.adding import more_inside
from consult.core.allergens import unfit_for
from consult.core.cold_rules import Keeping, keeping_of_part
from consult.finding import AtHand, consultation_at_hand
from consult.forms import PlainSelect, StepForm
from consult.page import keep_answer, show
from shop.core.catalogue import Filling, Flavour


def _choices(
    things: tuple[Flavour, ...] | tuple[Filling, ...], level: int, at: AtHand
) -> list[tuple[str, str]]:
    """Each with what it costs more on that tier, whether it needs the cold, and what the client avoids in it."""
    return [(thing.code, _words(thing, level, at)) for thing in things]


def _words(thing: Flavour | Filling, level: int, at: AtHand) -> str:
    said, locale = [], at.book.identity.locale
    if thing.price_per_serving:
        more = more_inside(thing, level, at.brief, at.book).written(locale)
        said.append(f"{more} more")
    if isinstance(thing, Filling) and keeping_of_part(thing, at.book) is Keeping.COLD:
        said.append("must stay cold")
    unfit = unfit_for(thing.recipe, at.book, at.brief.avoid)
    if unfit:
        said.append(f"contains {', '.join(unfit)}, not for this client")
    return f"{thing.name}: {', '.join(said)}" if said else thing.name


class FlavoursForm(StepForm):
    """A flavour and a filling for each tier that is cake, base first."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        book = self.at.book
        for number, _tier in self._cakes():
            self.fields[f"flavour_{number}"] = forms.ChoiceField(
                label="Cake", choices=_choices(book.flavours, number, self.at), widget=PlainSelect
            )
            self.fields[f"filling_{number}"] = forms.ChoiceField(
                label="Filling",
                choices=_choices(book.fillings, number, self.at),
                widget=PlainSelect,
            )

    def _cakes(self) -> list[tuple[int, Any]]:
        return [(number, tier) for number, tier in enumerate(self.at.design.tiers) if tier.is_cake]

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        return {
            key: value
            for number, tier in enumerate(at.design.tiers)
            for key, value in (
                (f"flavour_{number}", tier.flavour or at.book.flavours[0].code),
                (f"filling_{number}", tier.filling or at.book.fillings[0].code),
            )
        }

    def layout(self) -> tuple[Any, ...]:
        figures = self.at.reckoning.tiers
        return tuple(
            Fieldset(
                f"Tier {number + 1}: {figures[number].name}",
                Row(f"flavour_{number}", f"filling_{number}", css_class="halves"),
            )
            for number, _tier in reversed(self._cakes())
        )

    def chosen(self, what: str) -> tuple[str, ...]:
        """What was chosen for every tier, base first; a display tier keeps what it had."""
        return tuple(
            self.cleaned_data.get(f"{what}_{number}", getattr(tier, what))
            for number, tier in enumerate(self.at.design.tiers)
        )


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int) -> HttpResponse:
    at = consultation_at_hand(pk)
    data = request.POST.copy() if request.method == "POST" else None
    if data and data.get("same"):  # all tiers as the base
        for name in [key for key in data if key.startswith(("flavour_", "filling_"))]:
            data[name] = data.get(f"{name.split('_')[0]}_{data['same']}", data[name])
    form = FlavoursForm(data, at=at)
    if form.is_valid() and at.design.tiers:
        return keep_answer(
            request,
            at,
            "flavours",
            lambda seen: designs.choose_flavours(
                at.row,
                at.design,
                by=request.user,
                seen=seen,
                flavours=form.chosen("flavour"),
                fillings=form.chosen("filling"),
            ),
            form=form,
            afresh=lambda now: {"form": FlavoursForm(at=now)},
        )
    return show(request, at, "flavours", form=form)
