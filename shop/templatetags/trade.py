"""How is money, a length, a weight or work time written on a page?"""

from datetime import date
from typing import Any

from babel.dates import format_date
from babel.numbers import format_decimal
from django import template
from django.forms.boundfield import BoundWidget
from django.forms.utils import flatatt
from django.utils.html import format_html
from django.utils.safestring import SafeString

from shop.core import measures
from shop.core.measures import Units
from shop.core.money import Money

register = template.Library()


@register.filter
def option_input(option: BoundWidget) -> SafeString:
    """One radio button or tick box of a list: as Django's own template writes it, a tenth of its time."""
    data = option.data
    attributes = {"type": data["type"], "name": data["name"], "value": str(data["value"])}
    return format_html("<input{}>", flatatt(attributes | data["attrs"]))


@register.filter
def money(amount: Money | None, locale: str = "en_US") -> str:
    """$1,585.50; nothing for nothing."""
    return amount.written(locale) if amount is not None else ""


@register.filter
def minutes(value: int) -> str:
    """9 h 10 min."""
    return measures.minutes_written(value)


@register.filter
def measure(mm: float | None, units: str) -> str:
    """A length in the shop's units."""
    return "" if mm is None else measures.length(mm, Units(units))


@register.filter
def weight(grams: float, units: str) -> str:
    return measures.weight(float(grams), Units(units))


@register.filter
def weight_in_words(grams: float, units: str) -> str:
    """A reckoned weight: "about 4.1 kg (9 lb)"."""
    return measures.weight_in_words(float(grams), Units(units))


@register.filter
def day(on: date | None, locale: str = "en_US") -> str:
    """Saturday, May 15, 2027 as the shop's locale has it."""
    return format_date(on, "full", locale=locale) if on else ""


@register.filter
def short_day(on: date | None, locale: str = "en_US") -> str:
    """Sat, May 15 2027: for headers and lists."""
    return format_date(on, "EEE d MMM y", locale=locale) if on else ""


@register.filter
def entry(mapping: dict[Any, Any], key: Any) -> Any:
    """What a mapping holds under a key worked out in the page."""
    return mapping.get(key)


@register.filter
def minor(value: int | None, currency: str) -> Money | None:
    """Whole minor units from a row as an amount."""
    return None if value is None else Money(value, currency)


@register.filter
def commas(value: int, locale: str = "en_US") -> str:
    """A count with its thousands told apart: 38,280."""
    return format_decimal(value, locale=locale)
