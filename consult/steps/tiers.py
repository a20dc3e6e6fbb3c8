"""Which stack of tiers? One of those that stand in the shop's pans, and then any change to it by hand."""

from dataclasses import replace
from typing import Any

from crispy_forms.layout import Div, Fieldset, Row
from django import forms
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from consult import drawings
from consult.actions import consultations, designs
from consult.actions.keeping import Seen
from consult.core import stacks as core
from consult.core.design import Kind, Limits, Tier
from consult.core.working_days import day_words
from consult.finding import AtHand, consultation_at_hand
from consult.forms import Fold, PlainSelect, StepForm
from consult.offers import offers_for, too_much_for_the_date
from consult.page import keep_answer, show, whole_number
from shop.core import measures
from shop.core.catalogue import Pan, Shape
from shop.core.measures import Units, from_mm, length
from shop.core.money import Money
from shop.forms import MOST_MONEY, NumberField, WholeNumberField

KINDS = (
    (Kind.EATEN.value, "served"),
    (Kind.KEPT.value, "kept for the couple"),
    (Kind.DISPLAY.value, "display, not cake"),
)


class LimitsForm(StepForm):
    """What the client wants of the stack; the stacks offered follow it."""

    shapes = forms.MultipleChoiceField(
        label="Shapes", required=False, widget=forms.CheckboxSelectMultiple
    )
    fewest_tiers = WholeNumberField(label="Tiers, at least", least=1, most=6, step=1)
    most_tiers = WholeNumberField(label="Tiers, at most", least=1, most=6, step=1, required=False)
    heights = forms.MultipleChoiceField(
        label="Heights of a tier", required=False, widget=forms.CheckboxSelectMultiple
    )
    kitchen_cake = forms.BooleanField(
        label="Fill the count with kitchen cake",
        required=False,
        help_text="Plain cake cut out of sight, so that the tiers can be smaller.",
    )
    display_tiers = WholeNumberField(label="Display tiers", least=0, most=5, step=1, required=False)
    budget = NumberField(label="Budget", least=0, most=MOST_MONEY, places=2, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        book = self.at.book
        owned = {pan.shape for pan in book.pans if pan.owned}
        self.fields["shapes"].choices = [
            (shape.value, shape.value) for shape in Shape if shape in owned
        ]
        self.fields["heights"].choices = [
            (f"{height:g}", length(height, book.identity.units))
            for height in book.policies.stacks.heights_mm
        ]
        self.fields["budget"].unit = book.currency

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        limits = at.brief.limits
        return {
            "shapes": [shape.value for shape in limits.shapes],
            "fewest_tiers": limits.fewest_tiers,
            "most_tiers": limits.most_tiers,
            "heights": [f"{height:g}" for height in limits.heights_mm],
            "kitchen_cake": limits.kitchen_cake,
            "display_tiers": limits.display_tiers or None,
            "budget": limits.budget.decimal() if limits.budget else None,
        }

    def layout(self) -> tuple[Any, ...]:
        rest = ("heights", "kitchen_cake", "display_tiers", "budget")
        return (
            Div("shapes", Row("fewest_tiers", "most_tiers"), css_class="wishes"),
            Fold(
                f"More: {self._rest_in_words()}",
                "heights",
                "kitchen_cake",
                Row("display_tiers", "budget"),
                is_open=bool(set(rest) & set(self.errors)),
            ),
        )

    def _rest_in_words(self) -> str:
        """What the folded wishes are now."""
        limits, units = self.at.brief.limits, self.at.book.identity.units
        heights = [length(height, units) for height in limits.heights_mm]
        said = [f"tiers {' or '.join(heights)} tall" if heights else "tiers of any height"]
        said.append("kitchen cake allowed" if limits.kitchen_cake else "no kitchen cake")
        if limits.display_tiers:
            said.append(f"{limits.display_tiers} display")
        if limits.budget:
            said.append(f"up to {limits.budget.written(self.at.book.identity.locale)}")
        return ", ".join(said)

    def clean(self) -> dict[str, Any]:
        answers = super().clean() or {}
        fewest, most = answers.get("fewest_tiers"), answers.get("most_tiers")
        if fewest and most and most < fewest:
            self.add_error("most_tiers", f"That is fewer than the {fewest} tiers asked for.")
        return answers

    def limits(self) -> Limits:
        answers = self.cleaned_data
        budget = answers["budget"]
        return Limits(
            shapes=tuple(Shape(shape) for shape in answers["shapes"]),
            fewest_tiers=answers["fewest_tiers"],
            most_tiers=answers["most_tiers"],
            heights_mm=tuple(float(height) for height in answers["heights"]),
            kitchen_cake=answers["kitchen_cake"],
            display_tiers=answers["display_tiers"] or 0,
            budget=None if budget is None else Money.of(round(budget, 2), self.at.book.currency),
        )


def pans_to_choose(at: AtHand) -> list[tuple[str, Pan]]:
    """The pans owned, by the number a form knows them by."""
    return [(str(number), pan) for number, pan in enumerate(at.book.pans) if pan.owned]


def _fits(pan: Pan, tier: Tier) -> bool:
    return (pan.shape, pan.size_mm, pan.width_mm) == (tier.shape, tier.size_mm, tier.width_mm)


class OwnStackForm(StepForm):
    """The stack by hand: pan, height and kind of each tier, base first."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        book = self.at.book
        pans = [(key, pan.name) for key, pan in pans_to_choose(self.at)]
        heights = sorted(
            {*book.policies.stacks.heights_mm, *(tier.height_mm for tier in self.at.design.tiers)}
        )
        for number in range(len(self.at.design.tiers)):
            self.fields[f"pan_{number}"] = forms.ChoiceField(
                label="Pan", choices=pans, widget=PlainSelect
            )
            self.fields[f"height_{number}"] = forms.ChoiceField(
                label="Height",
                widget=PlainSelect,
                choices=[
                    (f"{height:g}", length(height, book.identity.units)) for height in heights
                ],
            )
            self.fields[f"kind_{number}"] = forms.ChoiceField(
                label="It is", choices=KINDS, widget=PlainSelect
            )

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        answers: dict[str, Any] = {}
        for number, tier in enumerate(at.design.tiers):
            answers[f"pan_{number}"] = next(
                (key for key, pan in pans_to_choose(at) if _fits(pan, tier)), None
            )
            answers[f"height_{number}"] = f"{tier.height_mm:g}"
            answers[f"kind_{number}"] = tier.kind.value
        return answers

    def layout(self) -> tuple[Any, ...]:
        return tuple(
            Fieldset(
                f"Tier {number + 1}" + (" (base)" if number == 0 else ""),
                Row(f"pan_{number}", f"height_{number}", f"kind_{number}"),
            )
            for number in reversed(range(len(self.at.design.tiers)))
        )

    def tiers(self) -> tuple[Tier, ...]:
        pans = dict(pans_to_choose(self.at))
        answers = self.cleaned_data
        return tuple(
            replace(
                tier,
                shape=(pan := pans[answers[f"pan_{number}"]]).shape,
                size_mm=pan.size_mm,
                width_mm=pan.width_mm,
                height_mm=float(answers[f"height_{number}"]),
                kind=Kind(answers[f"kind_{number}"]),
            )
            for number, tier in enumerate(self.at.design.tiers)
        )


def _key(stack: core.Stack) -> str:
    tiers = "+".join(
        f"{tier.shape.value}-{tier.size_mm:g}-{tier.height_mm:g}-{tier.kind.value}"
        for tier in stack.tiers
    )
    cakes = "+".join(f"{cake.count}x{cake.size_mm:g}" for cake in stack.kitchen_cakes)
    return f"{tiers}/{cakes}"


def offered(at: AtHand, form: Any = None) -> dict[str, Any]:
    """The stacks as cards, and the chosen one to change by hand."""
    context: dict[str, Any] = {
        "form": form or LimitsForm(at=at),
        "own": OwnStackForm(at=at) if at.design.tiers else None,
        "also": True,
        "cards": [],
    }
    if not at.brief.need.guests:
        return context
    offers = offers_for(at)
    if not offers.front:
        context["none_stand"] = core.why_none(at.brief, at.book)
        return context
    sensible = _near_the_need(offers.front, at.reckoning.needed.count)
    shown = core.for_one_page(sensible)
    names = core.named(sensible)
    tallest = max(stack.height_mm for stack in shown)
    widest = max(tier.size_mm for stack in shown for tier in stack.tiers)
    standing = [(tier.shape, tier.size_mm, tier.height_mm, tier.kind) for tier in at.design.tiers]
    units = at.book.identity.units
    context["how_many"] = offers.how_many
    too_much = too_much_for_the_date(at, shown)
    if too_much and at.brief.event.on:
        context["on_words"] = day_words(at.brief.event.on, at.today)
        context["none_holds"] = len(too_much) == len(shown)
    context["cards"] = [
        {
            "key": _key(stack),
            "stack": stack,
            "chosen": standing
            == [(tier.shape, tier.size_mm, tier.height_mm, tier.kind) for tier in stack.tiers]
            and stack.kitchen_cakes == _plain_cakes(at),
            "names": [name for name, best in names.items() if best == stack],
            "title": _title(stack, units),
            "breaks": place in too_much,
            "kitchen": sum(cake.count for cake in stack.kitchen_cakes),
            "drawing": drawings.card(
                stack.tiers, at.design, at.book, prefix=f"stack{place}", frame=(widest, tallest)
            ),
        }
        for place, stack in enumerate(shown)
    ]
    return context


def _near_the_need(front: tuple[core.Stack, ...], needed: int) -> tuple[core.Stack, ...]:
    """Stacks that leave no more than a quarter over, or a dozen; all of them where none is so near."""
    near = tuple(stack for stack in front if stack.surplus <= max(12, needed // 4))
    return near or front


def _title(stack: core.Stack, units: Units) -> str:
    """10 + 8 + 5, with the shape wherever the stack has more than one."""
    mixed = len({tier.shape for tier in stack.tiers}) > 1
    return " + ".join(
        measures.number(from_mm(tier.size_mm, units)) + (f" {tier.shape.value}" if mixed else "")
        for tier in stack.tiers
    )


def _plain_cakes(at: AtHand) -> tuple[Any, ...]:
    return tuple(
        type(cake)(cake.shape, cake.size_mm, cake.height_mm, cake.width_mm, cake.count)
        for cake in at.design.kitchen_cakes
    )


def _added(at: AtHand) -> tuple[Tier, ...]:
    """The stack with one tier more on top: the largest pan that stands there, else the smallest owned."""
    tiers = at.design.tiers
    pans = sorted((pan for _, pan in pans_to_choose(at)), key=lambda pan: -pan.size_mm)
    height = tiers[-1].height_mm if tiers else at.book.policies.stacks.heights_mm[0]
    tries = [Tier(pan.shape, pan.size_mm, height, pan.width_mm) for pan in pans]
    standing = (tier for tier in tries if not core.stack_problems((*tiers, tier), at.book))
    return (*tiers, next(standing, tries[-1]))


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int) -> HttpResponse:
    at = consultation_at_hand(pk)
    if request.method != "POST":
        return show(request, at, "tiers", **offered(at))
    if "stack" in request.POST or request.POST.get("form") == "own":
        return _keep_stack(request, at)
    form = LimitsForm(request.POST, at=at)
    if not form.is_valid():
        return show(request, at, "tiers", **offered(at, form))
    return keep_answer(
        request,
        at,
        "tiers",
        lambda seen: consultations.set_limits(
            at.row, by=request.user, seen=seen, limits=form.limits()
        ),
        form=form,
        afresh=offered,
    )


def _keep_stack(request: HttpRequest, at: AtHand) -> HttpResponse:
    """A card pressed, or the stack changed by hand."""
    if "stack" in request.POST:
        stack = next((s for s in offers_for(at).front if _key(s) == request.POST["stack"]), None)
        if stack is None:
            says = "That stack is no longer among those that stand. Please choose another."
            return show(request, at, "tiers", status=409, refused=says, **offered(at))
        tiers, cakes = stack.tiers, stack.kitchen_cakes
    else:
        own = OwnStackForm(request.POST, at=at)
        if not own.is_valid():
            return show(request, at, "tiers", status=422, **{**offered(at), "own": own})
        tiers, cakes = own.tiers(), at.design.kitchen_cakes
        if "add" in request.POST:
            tiers = _added(at)
        gone = whole_number(request, "remove")
        if gone is not None:
            tiers = tuple(tier for number, tier in enumerate(tiers) if number != gone)

    def act(seen: Seen) -> object:
        return designs.choose_tiers(
            at.row,
            at.design,
            by=request.user,
            seen=seen,
            tiers=tiers,
            kitchen_cakes=cakes,
        )

    return keep_answer(request, at, "tiers", act, afresh=offered)
