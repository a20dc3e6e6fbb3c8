"""What does a worked-up brief come to? The answer of `work_up` as JSON's own types, in the brief's units."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from consult.core import choices
from consult.core.design import Brief, Design, Kind, KitchenCake, Problem, Swatch, Tier
from consult.core.earnings import grams_of
from consult.core.quote import Quote
from consult.core.reckoning import Reckoning, TierFigures
from consult.core.stack_rules import options_of
from consult.core.stacks import Stack
from consult.core.work import Work
from shop.core.book import ShopBook
from shop.core.catalogue import Pan
from shop.core.measures import Units, from_mm

Json = dict[str, Any]


def figure(mm: float, units: Units) -> int | float:
    """A length in the brief's units, a whole number where it is one."""
    value = from_mm(mm, units)
    return int(value) if value == int(value) else value


def _measures(thing: Tier | KitchenCake, units: Units) -> Json:
    said: Json = {"shape": thing.shape.value, "size": figure(thing.size_mm, units)}
    if thing.width_mm is not None:
        said["width"] = figure(thing.width_mm, units)
    said["height"] = figure(thing.height_mm, units)
    return said


def pans_considered(brief: Brief, book: ShopBook, units: Units) -> list[Json]:
    """The pans owned that the brief's limits leave, as they were searched."""
    left = {(option.shape, option.size_mm, option.width_mm) for option in options_of(brief, book)}
    return [
        _pan(pan, units)
        for pan in book.pans
        if pan.owned > 0 and (pan.shape, pan.size_mm, pan.width_mm) in left
    ]


def _pan(pan: Pan, units: Units) -> Json:
    said: Json = {"shape": pan.shape.value, "size": figure(pan.size_mm, units)}
    if pan.width_mm is not None:
        said["width"] = figure(pan.width_mm, units)
    return said | {"depth": figure(pan.depth_mm, units), "owned": pan.owned}


def stack_said(stack: Stack, units: Units) -> Json:
    """One stack of the front."""
    return {
        "tiers": [_measures(tier, units) | {"kind": tier.kind.value} for tier in stack.tiers],
        "kitchen_cakes": [
            _measures(cake, units) | {"count": cake.count} for cake in stack.kitchen_cakes
        ],
        "servings": stack.servings,
        "surplus": stack.surplus,
        "price": str(stack.price),
        "minutes": stack.minutes,
        "height_mm": stack.height_mm,
        "why": [str(reason) for reason in stack.why],
    }


def stacks_result(
    brief: Brief, book: ShopBook, units: Units, need: int, offered: Sequence[Stack]
) -> Json:
    """The answer to the tier question alone: need, pans and stacks, the best stack first."""
    return {
        "need": need,
        "pans": pans_considered(brief, book, units),
        "stacks": [stack_said(stack, units) for stack in offered],
    }


def _tier(figures: TierFigures, book: ShopBook, units: Units) -> Json:
    tier = figures.tier
    return _measures(tier, units) | {
        "kind": tier.kind.value,
        "servings": figures.counted if tier.kind is Kind.EATEN else figures.servings,
        "flavour": choices.flavour_of(tier, book).name if tier.is_cake else "",
        "filling": choices.filling_of(tier, book).name if tier.is_cake else "",
        "finish": choices.finish_of(tier, book).name,
        "colour": tier.colour,
        "price": str(figures.price),
        "minutes": figures.minutes,
        "weight_g": round(figures.weight_grams),
    }


def _kitchen(cake: KitchenCake, book: ShopBook, units: Units) -> Json:
    return _measures(cake, units) | {
        "count": cake.count,
        "flavour": choices.flavour_of(cake, book).name,
        "filling": choices.filling_of(cake, book).name,
        "finish": choices.finish_of(cake, book).name,
    }


def _quote(quote: Quote) -> Json:
    return {
        "currency": quote.currency,
        "lines": [
            {"what": line.what, "amount": str(line.amount), "why": line.why} for line in quote.lines
        ],
        "total": str(quote.total),
        "deposit": str(quote.deposit),
        "deposit_due": quote.deposit_due.isoformat(),
        "balance": str(quote.balance),
        "balance_due": quote.balance_due.isoformat() if quote.balance_due else None,
        "holds_until": quote.holds_until.isoformat(),
        "tax": quote.tax_words,
    }


def _minutes(work: Work) -> Json:
    return {
        "hands_on": work.hands_on,
        "waiting": work.waiting,
        "tasks": [
            {
                "what": task.what,
                "hands_on": task.hands_on,
                "waiting": task.waiting,
                "why": task.why,
                "tier": None if task.tier is None else task.tier + 1,
            }
            for task in work.tasks
        ],
    }


def _days(days: Sequence[tuple[date, int, int]]) -> list[Json]:
    """The working days that the bench time is laid on, earliest first."""
    return [
        {
            "what": "at the bench",
            "starts": day.isoformat(),
            "ends": day.isoformat(),
            "minutes": used,
        }
        for day, used, _ in days
    ]


def quantities(design: Design, book: ShopBook) -> Json:
    """Grams of batter, filling and coat of each kind in tiers and kitchen cakes.

    Net: offcuts and what stays in the bowl are not counted.
    """
    sums: dict[str, dict[str, float]] = {"batter": {}, "filling": {}, "coat": {}}
    made = [(tier, 1) for tier in design.tiers]
    made += [(choices.as_tier(cake), cake.count) for cake in design.kitchen_cakes]
    for tier, count in made:
        grams = grams_of(tier, book)
        parts = [("coat", choices.finish_of(tier, book).name, grams.coat)]
        if tier.is_cake:
            parts.append(("batter", choices.flavour_of(tier, book).name, grams.batter))
            parts.append(("filling", choices.filling_of(tier, book).name, grams.filling))
        for kind, name, amount in parts:
            sums[kind][name] = sums[kind].get(name, 0.0) + amount * count
    return {
        f"{kind}_g": [{"what": name, "grams": round(grams)} for name, grams in by_name.items()]
        for kind, by_name in sums.items()
    }


def _problems(problems: Sequence[Problem]) -> list[Json]:
    return [{"where": problem.where, "says": problem.says} for problem in problems]


def result_of(
    brief: Brief,
    book: ShopBook,
    units: Units,
    reckoning: Reckoning,
    offered: Sequence[Stack],
    *,
    palette: Sequence[Swatch],
    fingerprint: str,
    papers: Mapping[str, str],
) -> Json:
    """Everything a brief comes to. Lengths in `units`, money as decimal strings, days ISO 8601.

    A kept tier shows the servings it would give; they are not in `servings`. What the cake costs the
    shop is in none of it.
    """
    design = brief.design
    return {
        **stacks_result(brief, book, units, reckoning.needed.count, offered),
        "design": {
            "tiers": [_tier(figures, book, units) for figures in reckoning.tiers],
            "kitchen_cakes": [_kitchen(cake, book, units) for cake in design.kitchen_cakes],
            "decorations": [
                {
                    "what": book.decoration(chosen.what).name,
                    "tier": None if chosen.tier is None else chosen.tier + 1,
                    "count": chosen.count,
                }
                for chosen in design.decorations
            ],
            "servings": reckoning.servings,
            "surplus": reckoning.servings - reckoning.needed.count,
            "height_mm": reckoning.height_mm,
            "board_mm": reckoning.board_mm,
            "weight_g": round(reckoning.weight_grams),
        },
        "quote": _quote(reckoning.quote),
        "minutes": _minutes(reckoning.work),
        "timeline": _days(reckoning.date.days),
        "date": {
            "holds": reckoning.date.holds,
            "says": reckoning.date.says,
            "next_dates": [day.isoformat() for day in reckoning.date.next_dates],
        },
        "allergens": list(reckoning.allergens.contains),
        "may_contain": list(reckoning.allergens.may_contain),
        "cautions": [caution.says for caution in reckoning.cautions],
        "take_out": list(reckoning.take_out),
        "quantities": quantities(design, book),
        "palette": [{"name": swatch.name, "hex": swatch.hex} for swatch in palette],
        "problems": _problems(reckoning.problems),
        "fingerprint": fingerprint,
        "papers": dict(papers),
    }
