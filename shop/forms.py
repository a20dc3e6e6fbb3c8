"""What do all forms share? One helper, and fields that forgive how people type numbers."""

from decimal import Decimal, InvalidOperation

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, BaseInput, Layout
from django import forms

MOST_MONEY = (
    999_999_999  # more than any cake costs in any currency, and far within the database's integers
)


class Go(BaseInput):
    """A form's button. Its words say what happens: Go("Sign this sheet")."""

    input_type = "submit"
    field_classes = "button"

    def __init__(self, words, name="go", *, quiet=False, **attributes):
        if quiet:
            self.field_classes = "button button-quiet"
        super().__init__(name, words, **attributes)


def form_helper(*layout, button="Save", action="", multipart=False, tag=True, **attributes):
    """A crispy helper in our pack. `attributes` go on the form tag: hx_post=url becomes hx-post.

    Without a layout all fields are shown in order. `button=None` leaves the button to the layout.
    """
    helper = FormHelper()
    helper.form_tag = tag
    helper.form_action = action
    helper.attrs = {name.replace("_", "-"): value for name, value in attributes.items()}
    if multipart:
        helper.attrs["enctype"] = "multipart/form-data"
    if layout:
        helper.layout = Layout(*layout)
    if button:
        helper.add_input(Go(button))
    return helper


class Say(HTML):
    """A paragraph of help between fields: plain words, shown as they are."""

    def __init__(self, words, css_class="hint"):
        super().__init__('<p class="{{ say_class }}">{{ say_words }}</p>')
        self.words, self.css_class = words, css_class

    def render(self, form, context, **kwargs):
        with context.push(say_words=self.words, say_class=self.css_class):
            return super().render(form, context, **kwargs)


def typed_number(text, *units):
    """What was typed as a number: blanks, thousands' blanks, a decimal comma and the unit's word are fine.

    None where it is no number.
    """
    cleaned = str(text).replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ")
    cleaned = cleaned.strip().lower()
    for unit in units:
        cleaned = cleaned.removesuffix(unit.lower()).removeprefix(unit.lower()).strip()
    cleaned = cleaned.replace(" ", "")
    if "," in cleaned and "." in cleaned:  # the last one is the decimal sign: 1,250.50 or 1.250,50
        thousands = "," if cleaned.rindex(".") > cleaned.rindex(",") else "."
        cleaned = cleaned.replace(thousands, "")
    elif cleaned.count(",") == 1 and len(cleaned.split(",")[1]) == 3 and cleaned[0] in "123456789":
        cleaned = cleaned.replace(",", "")  # 1,250 guests
    cleaned = cleaned.replace(",", ".")
    if not cleaned.isascii() or any(sign in cleaned for sign in "_en"):
        return None
    try:
        return Decimal(cleaned)
    except InvalidOperation:
        return None


class _NumberField(forms.Field):
    """Plain text with the right keypad, a unit beside it and, where `step` is given, − and + buttons."""

    inputmode = "decimal"

    def __init__(self, *, least=None, most=None, unit="", step=None, width="short", **kwargs):
        self.least, self.most, self.unit, self.step = least, most, unit, step
        kwargs.setdefault("widget", forms.TextInput)
        super().__init__(**kwargs)
        if "required" not in (kwargs.get("error_messages") or {}):
            self.error_messages["required"] = self._wrong()
        self.widget.attrs.update(inputmode=self.inputmode, autocomplete="off")
        self.widget.attrs["class"] = f"figure-input {width}"
        if step is not None:
            self.widget.attrs.update({"data-step": str(step)})
            for name, limit in (("data-least", least), ("data-most", most)):
                if limit is not None:
                    self.widget.attrs[name] = str(limit)

    def limits_in_words(self):
        if self.least is not None and self.most is not None:
            return f"from {self.least} to {self.most}"
        if self.least is not None:
            return f"of {self.least} or more"
        return f"up to {self.most}" if self.most is not None else ""

    def _number(self, value):
        if value in self.empty_values or not str(value).strip():
            return None
        found = typed_number(value, *([self.unit] if self.unit else []))
        if found is None or not found.is_finite():
            raise forms.ValidationError(self._wrong(), code="invalid")
        return found

    def _wrong(self):
        return f"Type {self.kind_in_words} {self.limits_in_words()}".rstrip() + "."

    def validate(self, value):
        super().validate(value)
        if value is None:
            return
        if (self.least is not None and value < self.least) or (
            self.most is not None and value > self.most
        ):
            raise forms.ValidationError(self._wrong(), code="limits")


class WholeNumberField(_NumberField):
    """A count. Cleans to int, or None where it may be left empty."""

    inputmode = "numeric"
    kind_in_words = "a whole number"

    def to_python(self, value):
        found = self._number(value)
        if found is None:
            return None
        if found != found.to_integral_value():
            raise forms.ValidationError(self._wrong(), code="invalid")
        return int(found)


class NumberField(_NumberField):
    """A measure or a rate. Cleans to Decimal, or None where it may be left empty."""

    kind_in_words = "a number"

    def __init__(self, *, places=2, **kwargs):
        self.places = places
        super().__init__(**kwargs)

    def to_python(self, value):
        found = self._number(value)
        if found is not None and -found.as_tuple().exponent > self.places:
            figures = "figure" if self.places == 1 else "figures"
            raise forms.ValidationError(
                f"Type no more than {self.places} {figures} after the point.", code="places"
            )
        return found
