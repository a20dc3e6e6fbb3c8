"""Who may see a page, beyond having logged in?"""

from functools import wraps

from django.core.exceptions import PermissionDenied


def owner_only(view):
    """For the shop's own business (cost, margin, prices, people): staff get a 403 in words."""

    @wraps(view)
    def guarded(request, *args, **kwargs):
        if not (request.user.is_authenticated and request.user.is_owner):
            raise PermissionDenied("Only the owner can open this page.")
        return view(request, *args, **kwargs)

    return guarded
