"""The shop at a glance: everything the owner can set up, and how much of it there is."""

from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from shop import finding
from shop.access import owner_only
from shop.models import current_shop
from shop.pages.decorations import DECORATIONS
from shop.pages.fillings import FILLINGS
from shop.pages.finishes import FINISHES
from shop.pages.flavours import FLAVOURS
from shop.pages.ingredients import INGREDIENTS
from shop.pages.pans import PANS
from shop.pages.slices import SLICES
from shop.pages.tasks import TASKS

# In the order the owner sets a shop up.
NOUNS = (PANS, SLICES, INGREDIENTS, FLAVOURS, FILLINGS, FINISHES, DECORATIONS, TASKS)


@owner_only
@require_http_methods(["GET"])
def index(request):
    counts = finding.counts()
    context = {
        "here": "shop",
        "shop": current_shop(),
        "nouns": [(noun, counts[noun.model._meta.model_name]) for noun in NOUNS],
    }
    return render(request, "shop/index.html", context)
