"""The public page of inquiries: is it open, what does it say first, and what of the data it keeps?"""

from django import forms
from django.views.decorators.http import require_http_methods

from shop.access import owner_only
from shop.addresses import absolute
from shop.forms import WholeNumberField
from shop.inquiry_text import STARTING_DATA_WORDS
from shop.pages.setup_page import edit_shop
from shop.pages.shop_form import ShopForm, tick
from shop.starting_texts import NOTE


class InquiriesForm(ShopForm):
    """While the owner has written nothing of the data, the starting text stands in the field."""

    takes_inquiries = tick("The page is open: anybody may send an inquiry")
    inquiry_words = forms.CharField(
        label="First words of the page",
        max_length=2_000,
        required=False,
        widget=forms.Textarea({"rows": 4}),
        help_text="Under the heading: what you make, when you answer. May stay empty.",
    )
    inquiry_kept_months = WholeNumberField(
        label="An inquiry that led to nothing is erased after", unit="months", least=1, most=24
    )
    data_words = forms.CharField(
        label="What a client is told of the data",
        max_length=4_000,
        required=False,
        widget=forms.Textarea({"rows": 12}),
        help_text="Shown before sending, and kept with each inquiry as it was. {shop}, {months} and {contact} are "
        "filled in. Empty brings the starting text back.",
    )

    sections = (
        ("The page", ("takes_inquiries", "inquiry_words")),
        ("The data", ("inquiry_kept_months", "data_words")),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        shown = self.data.get("data_words") if self.is_bound else self.initial.get("data_words")
        if _is_starting(shown or ""):
            self.fields["data_words"].help_text += f" {NOTE}"

    def kept(self, name):
        value = super().kept(name)
        return value or STARTING_DATA_WORDS if name == "data_words" else value

    def clean_data_words(self):
        """The starting text, left as it is, stays nobody's own: it goes on to be called one."""
        words = self.cleaned_data["data_words"].replace("\r\n", "\n")
        return "" if _is_starting(words) else words


def _is_starting(words):
    return " ".join(words.split()) in ("", " ".join(STARTING_DATA_WORDS.split()))


@owner_only
@require_http_methods(["GET", "POST"])
def inquiries(request):
    return edit_shop(
        request,
        InquiriesForm,
        here="shop_inquiries",
        title="Inquiries",
        about=f"Clients ask for a cake at {absolute('/inquire/')}, without an account. Put that address on your own "
        "page. What comes in stands first on the desk.",
    )
