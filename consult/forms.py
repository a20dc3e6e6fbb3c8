"""What do the steps' forms share? They know the consultation at hand, and hold no rule."""

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div
from django import forms
from django.forms.boundfield import BoundField
from django.forms.utils import flatatt
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

from consult.finding import AtHand
from shop.forms import form_helper


class Fold(Div):
    """Fields behind a line that opens: what is rarely changed. `words` is the line."""

    template = "consult/_fold.html"

    def __init__(self, words: str, *fields: Any, is_open: bool = False) -> None:
        super().__init__(*fields)
        self.words, self.is_open = words, is_open


class PlainSelect(forms.Select):
    """A list to choose from, written without a template: a page has dozens, and each took two milliseconds."""

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        chosen = set(self.format_value(value))
        options = format_html_join(
            "",
            '<option value="{}"{}>{}</option>',
            (
                (key, mark_safe(" selected") if str(key) in chosen else "", label)
                for key, label in self.choices
            ),
        )
        built = self.build_attrs(self.attrs, {"name": name, **(attrs or {})})
        return format_html("<select{}>{}</select>", flatatt(built), options)


class StepForm(forms.Form):
    """A step's form. `at` is the consultation it is for; what is saved already is its initial."""

    def __init__(self, *args: Any, at: AtHand, **kwargs: Any) -> None:
        self.at = at
        kwargs.setdefault("initial", self.saved(at))
        super().__init__(*args, **kwargs)

    def __getitem__(self, name: str) -> BoundField:
        """The field, its words in the direction of the script they are typed in."""
        widget = self.fields[name].widget if name in self.fields else None
        if isinstance(self.fields.get(name), forms.CharField) and _takes_words(widget):
            widget.attrs.setdefault("dir", "auto")
        return super().__getitem__(name)

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        """What is kept so far, by field."""
        return {}

    def layout(self) -> tuple[Any, ...]:
        """The crispy layout; empty: every field in its order."""
        return ()

    @property
    def helper(self) -> FormHelper:
        """Built for each form, since one set on the class would be shared by all requests."""
        for field in self.fields.values():  # any step can be left half answered
            field.goes_without_saying = True
        return form_helper(*self.layout(), button=None, tag=False)


def _takes_words(widget: forms.Widget | None) -> bool:
    """Whether words are typed there: a colour's picker is a text field too."""
    if isinstance(widget, forms.Textarea):
        return True
    return isinstance(widget, forms.TextInput) and widget.attrs.get("type", "text") == "text"


def differences(form: forms.Form, fresh: forms.Form) -> tuple[tuple[str, str, str], ...]:
    """Where what was typed differs from what is kept now: label, typed, kept."""
    rows = []
    for name, field in form.fields.items():
        if name not in fresh.fields:
            continue
        typed, kept = form[name].value(), fresh[name].value()
        if field.has_changed(kept, typed):
            label = str(field.label or name.replace("_", " "))
            rows.append((label, _words(field, typed), _words(field, kept)))
    return tuple(rows)


def _words(field: forms.Field, value: Any) -> str:
    if value in (None, "", []):
        return "nothing"
    choices = {str(key): str(label) for key, label in getattr(field, "choices", ())}
    values = value if isinstance(value, list | tuple) else [value]
    return ", ".join(choices.get(str(item), str(item)) for item in values)
