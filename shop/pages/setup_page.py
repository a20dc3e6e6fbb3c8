"""What do the pages over the shop's own row share? One form, saved by one action, shown by one template."""

from django.contrib import messages
from django.shortcuts import redirect, render

from shop.actions import change_shop
from shop.models import current_shop


def edit_shop(request, form_class, *, here, title, about, save=None):
    """The page of one part of the shop's row. `save(shop, form)` takes the place of the plain change."""
    shop = current_shop()
    form = form_class(request.POST or None, shop=shop, row=shop)
    if request.method == "POST" and form.is_valid():
        (save or _save)(shop, form)
        messages.success(request, "Saved. It holds for every new quote; what was quoted stays.")
        return redirect(here)
    context = {"form": form, "here": here, "heading": title, "about": about}
    return render(request, "shop/setup.html", context, status=422 if form.errors else 200)


def _save(shop, form):
    change_shop(shop, **form.values())
