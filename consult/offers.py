"""Which stacks can be offered? Remembered, since a page that is only looked at asks the same again."""

from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from consult.core import stacks as core
from consult.core.adding import Adding, adding
from consult.core.design import Brief, ChosenDecoration, Client, Design, How
from consult.core.reckoning import stack_costs
from consult.core.stack_costs import Known
from consult.finding import AtHand, Edition


@dataclass(frozen=True, slots=True)
class Offers:
    """The stacks worth offering, best first, and how many stand in all."""

    front: tuple[core.Stack, ...]
    how_many: int


def addings_for(at: AtHand, chosen: tuple[ChosenDecoration, ...]) -> tuple[Adding, ...]:
    """What each of those would come to on the tiers at hand, whatever else is on the cake."""
    bare = Design(at.design.tiers, kitchen_cakes=at.design.kitchen_cakes, own=at.design.own)
    asked = Brief(need=at.brief.need, hand_over=at.brief.hand_over, design=bare)
    return _added(Edition(at.row.edition.digest, at.book.policies.hours, at.book), asked, chosen)


@lru_cache(maxsize=64)
def _added(
    edition: Edition, brief: Brief, chosen: tuple[ChosenDecoration, ...]
) -> tuple[Adding, ...]:
    return tuple(adding(one, brief, edition.book) for one in chosen)


def offers_for(at: AtHand) -> Offers:
    """What is offered to this consultation today."""
    design = replace(at.design, photos=(), swatches=(), notes="")
    asked = replace(at.brief, client=Client(), avoid=frozenset(), notes="", design=design)
    return _searched(
        Edition(at.row.edition.digest, at.book.policies.hours, at.book), asked, at.today
    )


@lru_cache(maxsize=8)
def _known(edition: Edition, slice_code: str, how: How) -> Known:
    """The sums of tiers that searches of this book share, whoever asks."""
    return Known()


@lru_cache(maxsize=32)
def _searched(edition: Edition, brief: Brief, today: date) -> Offers:
    known = _known(edition, brief.need.slice, brief.hand_over.how)
    front = core.stacks(brief, edition.book, stack_costs(brief, edition.book, today, known))
    return Offers(front, core.how_many_stand(brief, edition.book) if front else 0)
