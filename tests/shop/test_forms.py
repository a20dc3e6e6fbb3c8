"""Do forms take numbers as people type them, and say what would be right when they cannot?"""

from decimal import Decimal

import pytest
from crispy_forms.utils import render_crispy_form
from django import forms

from shop.forms import NumberField, WholeNumberField, form_helper, typed_number


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("70", "70"),
        (" 40 ", "40"),
        ("12,5 cm", "12.5"),
        ("12.5CM", "12.5"),
        ("1,250", "1250"),
        ("1 250", "1250"),
        ("1\N{NO-BREAK SPACE}250", "1250"),
        ("1,250.50", "1250.50"),
        ("1.250,50", "1250.50"),
        ("0,125", "0.125"),  # nobody writes thousands with a nought in front
        ("-3", "-3"),
        ("+3", "3"),
    ],
)
def test_numbers_are_read_as_people_type_them(typed, meant):
    assert typed_number(typed, "cm") == Decimal(meant)


@pytest.mark.parametrize(
    "typed", ["", "many", "1e3", "1_000", "NaN", "Infinity", "٣", "1.2.3", "--1", ",", "5 kg"]
)
def test_what_is_no_number_is_none(typed):
    assert typed_number(typed, "cm") is None


class Guests(forms.Form):
    guests = WholeNumberField(label="Guests", least=1, most=2000, step=1, help_text="Everybody.")
    height = NumberField(label="Height", unit="cm", places=1, least=0, required=False)
    slices = forms.ChoiceField(
        label="Slice",
        choices=[("d", "Dessert"), ("p", "Party")],
        widget=forms.RadioSelect,
        required=False,
    )
    helper = form_helper(button="Save", hx_post="/x/")


@pytest.mark.parametrize("guests", ["0", "2001", "5000", "2.5", "lots", "", "1e3", "-1"])
def test_a_wrong_count_is_told_what_would_be_right(guests):
    form = Guests({"guests": guests})

    assert form.errors["guests"] == ["Type a whole number from 1 to 2000."]


@pytest.mark.parametrize(
    ("guests", "count"), [("1", 1), ("2,000", 2000), (" 70 ", 70), ("70.0", 70)]
)
def test_a_right_count_is_a_whole_number(guests, count):
    form = Guests({"guests": guests})

    assert form.is_valid(), form.errors
    assert form.cleaned_data["guests"] == count
    assert isinstance(form.cleaned_data["guests"], int)
    assert form.cleaned_data["height"] is None


def test_more_figures_than_the_field_keeps_are_refused_not_rounded():
    form = Guests({"guests": "70", "height": "12.55 cm"})

    assert form.errors["height"] == ["Type no more than 1 figure after the point."]


def test_a_number_keeps_what_was_typed_beside_its_error():
    page = render_crispy_form(Guests({"guests": "lots", "height": "9"}))

    assert 'value="lots"' in page
    assert 'aria-invalid="true"' in page
    assert 'aria-describedby="id_guests_helptext id_guests_error"' in page
    assert 'id="id_guests_helptext"' in page
    assert 'id="id_guests_error"' in page
    assert page.count("Type a whole number from 1 to 2000.") == 2  # in the summary, by the field
    assert page.index("error-summary") < page.index('name="guests"')
    assert 'href="#div_id_guests"' in page


def test_the_pack_writes_what_screen_readers_need():
    page = render_crispy_form(Guests())

    assert '<label for="id_guests">Guests</label>' in page
    assert 'inputmode="numeric"' in page
    assert 'data-step="1"' in page
    assert "(cm)" in page  # the unit is in the label too
    assert "<legend>Slice" in page
    assert page.count("(optional)") == 2
    assert "novalidate" in page
    assert 'hx-post="/x/"' in page
    assert "style=" not in page
