"""The bench work every cake needs, before any finish or decoration."""

from django import forms

from shop.forms import NumberField, WholeNumberField
from shop.models import BenchTask
from shop.models.catalogue import DRIVERS
from shop.pages.listed import Column, Noun
from shop.pages.shop_form import NamedForm
from shop.pages.words import minutes_words


class TaskForm(NamedForm):
    model = BenchTask
    applies_to = forms.ChoiceField(label="Done for", choices=BenchTask.AppliesTo)
    driver = forms.ChoiceField(
        label="Counted by",
        choices=[choice for choice in DRIVERS if choice[0] != "piece"],
        help_text="What the minutes for each grow with.",
    )
    minutes_once = NumberField(
        label="Minutes, once", unit="min", least=0, most=3000, help_text="Each time it is done."
    )
    minutes_each = NumberField(label="Minutes for each", unit="min", least=0, most=3000)
    waiting_minutes = WholeNumberField(
        label="Waiting",
        unit="min",
        least=0,
        most=20_000,
        help_text="Baking, cooling, chilling: no hands needed.",
    )
    after = forms.CharField(
        label="Comes after",
        max_length=120,
        required=False,
        help_text="In words, for the kitchen's order of work.",
    )

    sections = (
        ("The work", ("name", "applies_to", "after")),
        ("Its minutes", ("driver", "minutes_once", "minutes_each", "waiting_minutes")),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.row is None:
            for name in ("minutes_once", "minutes_each", "waiting_minutes"):
                self.initial.setdefault(name, 0)


TASKS = Noun(
    name="tasks",
    one="task",
    title="Bench work",
    about="What every cake takes before any finish or decoration.",
    model=BenchTask,
    form=TaskForm,
    columns=(
        Column("Done for", lambda row, shop: row.get_applies_to_display()),
        Column("Bench work", lambda row, shop: minutes_words(row)),
        Column("After", lambda row, shop: row.after or "–"),
    ),
)
