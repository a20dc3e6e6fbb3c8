"""What does a worked-up brief come to? The answer of `work_up` as JSON's own types, in the brief's units."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from consult.core import choices
from consult.core.amounts_result import cutting_result, quantities_result, tier_result
from consult.core.bench import Bench
from consult.core.cutting import cut
from consult.core.design import Brief, Kind, KitchenCake, Problem, Swatch, Tier
from consult.core.quote import Quote
from consult.core.reckoning import Reckoning, TierFigures
from consult.core.servings import slice_of
from consult.core.stack_rules import options_of
from consult.core.stacks import Stack
from consult.core.supports import carrying_said, supports_said
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


def _for_the_bench(
    brief: Brief, book: ShopBook, reckoning: Reckoning, bench: Bench
) -> Iterator[Json]:
    """What a tier says beside its choices: how it is cut, what it weighs and takes, and what stands in it."""
    slice_size = slice_of(brief.need, book)
    supports = supports_said(bench.supports)
    for at, tier in enumerate(brief.design.tiers):
        yield {
            "cutting": cutting_result(cut(tier.shape, tier.size_mm, tier.width_mm, slice_size))
            if tier.kind is Kind.EATEN
            else None,
            "weight_g": round(reckoning.tiers[at].weight_grams),
            **tier_result(bench.quantities.tiers[at]),
            "supports": supports[at],
        }


def _problems(problems: Sequence[Problem]) -> list[Json]:
    return [{"where": problem.where, "says": problem.says} for problem in problems]


def result_of(
    brief: Brief,
    book: ShopBook,
    units: Units,
    reckoning: Reckoning,
    bench: Bench,
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
            "tiers": [
                {**_tier(figures, book, units), **more}
                for figures, more in zip(
                    reckoning.tiers, _for_the_bench(brief, book, reckoning, bench), strict=True
                )
            ],
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
        "timeline": [
            {
                "what": entry.what,
                "starts": entry.starts.isoformat(timespec="minutes"),
                "ends": entry.ends.isoformat(timespec="minutes"),
                "hands_on": entry.hands_on,
                "waiting": entry.waiting,
                "machine": entry.machine,
                "why": entry.why,
            }
            for entry in bench.schedule.entries
        ],
        "days": _days(reckoning.date.days),
        "schedule": {
            "holds": bench.schedule.holds,
            "says": bench.schedule.says,
            "breaks_on": bench.schedule.breaks_on,
        },
        "date": {
            "holds": reckoning.date.holds,
            "says": reckoning.date.says,
            "next_dates": [day.isoformat() for day in reckoning.date.next_dates],
        },
        "allergens": list(reckoning.allergens.contains),
        "may_contain": list(reckoning.allergens.may_contain),
        "cautions": [caution.says for caution in reckoning.cautions],
        "take_out": list(reckoning.take_out),
        "quantities": quantities_result(bench.quantities),
        "carrying": carrying_said(bench.supports),
        "palette": [{"name": swatch.name, "hex": swatch.hex} for swatch in palette],
        "problems": _problems(reckoning.problems),
        "fingerprint": fingerprint,
        "papers": dict(papers),
    }
