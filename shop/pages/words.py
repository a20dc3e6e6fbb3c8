"""How does the owner's list say a row? Lengths, amounts, minutes and recipes in words."""

from decimal import Decimal

from shop.core.catalogue import Driver
from shop.core.measures import Units, length, minutes_written, number, weight
from shop.core.money import total


def amount(minor, shop):
    """$12.50; a dash for nothing."""
    return shop.money(minor).written(shop.locale) if minor else "–"


def across(mm, shop):
    return length(float(mm), Units(shop.units))


def slice_words(row, shop):
    """1½ x 2 in."""
    units = Units(shop.units)
    short = across(row.width_mm, shop).removesuffix(f" {units.value}")
    return f"{short} x {across(row.depth_mm, shop)}"


def minutes_words(row):
    """10 min, and 1.5 min a piece; a dash where it takes no time."""
    parts = []
    if row.minutes_once:
        parts.append(f"{number(float(row.minutes_once))} min")
    if row.minutes_each:
        parts.append(f"{number(float(row.minutes_each))} min {Driver(row.driver).unit}")
    words = " + ".join(parts) or "–"
    return (
        f"{words}, waits {minutes_written(row.waiting_minutes)}" if row.waiting_minutes else words
    )


def price_words(row, shop):
    """$5.00 + $1.20 a piece; "no charge" where it costs the client nothing."""
    parts = []
    if row.price_once:
        parts.append(amount(row.price_once, shop))
    if row.price_each:
        parts.append(f"{amount(row.price_each, shop)} {Driver(row.driver).unit}")
    return " + ".join(parts) or "no charge"


def substances_words(names):
    return ", ".join(names) or "–"


def recipe_words(row, shop):
    """1,240 g of 7 ingredients; a dash where there is no recipe."""
    lines = row.recipe_lines.all()
    if not lines:
        return "–"
    grams = weight(float(sum(line.grams for line in lines)), Units.CENTIMETRES)
    return f"{grams}, {len(lines)} ingredient{'' if len(lines) == 1 else 's'}"


def recipe_contains(row, shop):
    """The allergen substances of its ingredients."""
    found = {name for line in row.recipe_lines.all() for name in line.ingredient.contains}
    return substances_words(sorted(found))


def recipe_cost(row, shop):
    """What a kilogram of it costs the shop in ingredients; a dash where there is no recipe."""
    lines = row.recipe_lines.all()
    grams = sum((line.grams for line in lines), Decimal(0))
    if not grams:
        return "–"
    costs = total(
        (shop.money(line.ingredient.cost_per_kg).times(line.grams / 1000) for line in lines),
        shop.currency,
    )
    return costs.times(1000 / grams).written(shop.locale)


def days(count):
    return f"{count} day{'' if count == 1 else 's'}" if count else "–"


def yes(flag):
    return "yes" if flag else "–"
