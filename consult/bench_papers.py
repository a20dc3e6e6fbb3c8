"""Which papers does an order give the kitchen and the venue? Each made anew from the same values."""

from collections.abc import Callable, Mapping

from consult.core.bench import Bench, schedule_in_words, supports_in_words
from consult.core.design import Brief
from consult.core.kitchen_values import kitchen_sheet_of
from consult.core.label_values import labels_of
from consult.core.support_sheet import support_sheet_of
from consult.core.venue_values import cutting_guide_of
from consult.documents.cutting_guide import cutting_guide
from consult.documents.kitchen_sheet import kitchen_sheet
from consult.documents.labels import labels
from consult.documents.support_plan import support_plan
from shop.core.book import ShopBook

Maker = Callable[[Brief, ShopBook, Bench, str, int], bytes]


def _kitchen_sheet(brief: Brief, book: ShopBook, bench: Bench, number: str, revision: int) -> bytes:
    return kitchen_sheet(
        kitchen_sheet_of(
            brief,
            book,
            bench.quantities,
            number,
            revision,
            schedule=schedule_in_words(bench.schedule),
            supports=supports_in_words(bench.supports),
        )
    )


def _support_plan(brief: Brief, book: ShopBook, bench: Bench, number: str, revision: int) -> bytes:
    return support_plan(support_sheet_of(brief, book, bench.supports, number, revision))


def _cutting_guide(brief: Brief, book: ShopBook, bench: Bench, number: str, revision: int) -> bytes:
    return cutting_guide(
        cutting_guide_of(
            brief,
            book,
            number,
            revision,
            dowels=tuple(join.count for join in bench.supports.joins),
            centre_dowel=bench.supports.centre_dowel is not None,
        )
    )


def _labels(brief: Brief, book: ShopBook, bench: Bench, number: str, revision: int) -> bytes:
    tiers = range(len(brief.design.tiers))
    together = [tuple(tiers)] if bench.supports.travels_stacked else [(tier,) for tier in tiers]
    return labels(labels_of(brief, book, number, together=together))


# By the name in the address and in the result: the title on the page, and how it is made.
PAPERS: Mapping[str, tuple[str, Maker]] = {
    "kitchen_sheet": ("Kitchen sheet", _kitchen_sheet),
    "support_plan": ("Support plan", _support_plan),
    "cutting_guide": ("Cutting guide", _cutting_guide),
    "labels": ("Labels for the boxes", _labels),
}


def printed(
    name: str, brief: Brief, book: ShopBook, bench: Bench, number: str, revision: int
) -> bytes:
    """One of PAPERS as PDF; KeyError for another name."""
    return PAPERS[name][1](brief, book, bench, number, revision)
