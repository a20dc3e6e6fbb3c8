"""How is a recipe written down? Rows of ingredient and grams, some of them empty for more."""

from django import forms
from django.forms import BaseFormSet, formset_factory

from shop.core.catalogue import RecipeLine
from shop.core.household import grams_of
from shop.finding import ingredients_to_choose
from shop.models.catalogue import trimmed

EMPTY_LINES = 4
MOST_GRAMS = 100_000


class LineForm(forms.Form):
    ingredient = forms.ChoiceField(label="Ingredient", required=False)
    grams = forms.CharField(
        label="Grams",
        required=False,
        max_length=40,
        widget=forms.TextInput(attrs={"class": "figure-input short", "autocomplete": "off"}),
    )

    def __init__(self, *args, ingredients=(), **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["ingredient"].choices = [("", "–"), *ingredients]

    def clean_grams(self):
        """Grams as typed, or a household measure of that ingredient turned into grams."""
        typed = self.cleaned_data["grams"]
        if not typed:
            return None
        names = dict(self.fields["ingredient"].choices)
        grams = grams_of(typed, names.get(self.cleaned_data.get("ingredient"), ""))
        if isinstance(grams, str):
            raise forms.ValidationError(grams)
        if not 0 <= grams <= MOST_GRAMS:
            raise forms.ValidationError(f"Type from 0 to {MOST_GRAMS:,} grams.")
        return grams

    def clean(self):
        ingredient, grams = self.cleaned_data.get("ingredient"), self.cleaned_data.get("grams")
        if ingredient and not grams and not self.errors:
            self.add_error("grams", "Say how many grams, more than none.")
        if grams and not ingredient and not self.errors:
            self.add_error("ingredient", "Choose what these grams are of.")
        return self.cleaned_data


class RecipeLines(BaseFormSet):
    """The lines of one recipe; a line left empty, or emptied, is taken out."""

    def clean(self):
        seen = set()
        for form in self.forms:
            ingredient = getattr(form, "cleaned_data", {}).get("ingredient")
            if ingredient in seen:
                form.add_error("ingredient", "This ingredient is in the recipe already.")
            if ingredient:
                seen.add(ingredient)

    def lines(self):
        """The recipe as plain values, in the order of the rows."""
        return [
            RecipeLine(form.cleaned_data["ingredient"], form.cleaned_data["grams"])
            for form in self.forms
            if form.cleaned_data.get("ingredient")
        ]


def recipe_form(data, row):
    """The recipe of that row (or of a new one) as a formset."""
    lines = [] if row is None else list(row.recipe_lines.all())
    formset = formset_factory(LineForm, formset=RecipeLines, extra=EMPTY_LINES, max_num=60)
    return formset(
        data,
        prefix="recipe",
        initial=[
            {"ingredient": line.ingredient_id, "grams": trimmed(line.grams)} for line in lines
        ],
        form_kwargs={"ingredients": ingredients_to_choose(row)},
    )
