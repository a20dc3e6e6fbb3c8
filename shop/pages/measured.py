"""What was measured of a filling or a coat, and what it decides: fields that both forms have."""

from django import forms

from shop.forms import NumberField

MEASURED = ("If it was measured", ("water_activity", "ph"))


class MeasuredFields(forms.Form):
    """Water activity and pH, both left empty by most shops."""

    water_activity = NumberField(
        label="Water activity",
        places=3,
        least=0,
        most=1,
        required=False,
        help_text=(
            "From a laboratory. With the pH, table B of the FDA Food Code then says whether it may"
            " stand without cold; your local food code comes first."
        ),
    )
    ph = NumberField(label="pH", places=2, least=0, most=14, required=False)
