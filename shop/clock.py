"""Whose clock is it? Every page shows and counts days by the shop's own time zone."""

from collections.abc import Callable
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from shop.models import Shop


class ShopClock:
    """Middleware: the shop's time zone for the length of a request (one small query)."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        zone = Shop.objects.values_list("time_zone", flat=True).first()
        if zone is None:  # no shop yet: the setting's zone
            return self.get_response(request)
        with timezone.override(ZoneInfo(zone)):
            return self.get_response(request)
