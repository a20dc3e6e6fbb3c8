"""The slice sizes a client can choose from: the smaller the slice, the more a tier serves."""

from decimal import Decimal

from shop.models import SliceSize
from shop.pages.fields import LengthField
from shop.pages.listed import Column, Noun
from shop.pages.shop_form import NamedForm
from shop.pages.words import slice_words


class SliceForm(NamedForm):
    model = SliceSize
    width_mm = LengthField(
        label="Width",
        least_mm=Decimal(10),
        most_mm=Decimal(200),
        help_text="Along the row or the ring.",
    )
    depth_mm = LengthField(
        label="Depth",
        least_mm=Decimal(10),
        most_mm=Decimal(200),
        help_text="From the outside of the cake towards its middle.",
    )

    sections = (("The slice", ("name",)), ("Seen from above", ("width_mm", "depth_mm")))


SLICES = Noun(
    name="slices",
    one="slice size",
    title="Slice sizes",
    about="Seen from above; the height of a slice is the tier's.",
    model=SliceSize,
    form=SliceForm,
    columns=(Column("Size", slice_words, is_figure=True),),
    first_is="A new consultation starts with the one at the top.",
)
