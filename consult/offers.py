"""Which stacks can be offered? Remembered, since a page that is only looked at asks the same again."""

from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from consult.core import stacks as core
from consult.core.adding import Adding, adding
from consult.core.design import Brief, ChosenDecoration, Client, Design, How, Limits
from consult.core.holding import Coat, coats_on, stacks_that_break
from consult.core.reckoning import settled, stack_costs
from consult.core.stack_costs import Known
from consult.core.timeline import DateAnswer
from consult.core.working_days import calendar_of
from consult.finding import AtHand, Edition

Booked = tuple[tuple[date, int], ...]  # bench minutes of other orders, by day


@dataclass(frozen=True, slots=True)
class Offers:
    """The stacks worth offering, best first, and how many stand in all."""

    front: tuple[core.Stack, ...]
    how_many: int


def addings_for(at: AtHand, chosen: tuple[ChosenDecoration, ...]) -> tuple[Adding, ...]:
    """What each of those would come to on the tiers at hand, whatever else is on the cake."""
    bare = Design(at.design.tiers, kitchen_cakes=at.design.kitchen_cakes, own=at.design.own)
    asked = Brief(need=at.brief.need, hand_over=at.brief.hand_over, design=bare)
    return _added(_edition(at), asked, chosen)


@lru_cache(maxsize=64)
def _added(
    edition: Edition, brief: Brief, chosen: tuple[ChosenDecoration, ...]
) -> tuple[Adding, ...]:
    return tuple(adding(one, brief, edition.book) for one in chosen)


def coats_for(at: AtHand) -> tuple[tuple[Coat, ...], ...]:
    """Every finish as it would be on each tier at hand, base first, and whether the date still holds."""
    return _coated(_edition(at), _to_make(at), at.reckoning.date, at.today, _booked(at))


@lru_cache(maxsize=64)
def _coated(
    edition: Edition, brief: Brief, answer: DateAnswer, today: date, booked: Booked
) -> tuple[tuple[Coat, ...], ...]:
    calendar = calendar_of(edition.book, today, dict(booked))
    return coats_on(brief, edition.book, answer, calendar)


def too_much_for_the_date(at: AtHand, stacks: tuple[core.Stack, ...]) -> frozenset[int]:
    """The places of those stacks on which the date of the consultation would not hold."""
    return _too_much(_edition(at), _to_make(at), stacks, at.today, _booked(at))


@lru_cache(maxsize=64)
def _too_much(
    edition: Edition, brief: Brief, stacks: tuple[core.Stack, ...], today: date, booked: Booked
) -> frozenset[int]:
    calendar = calendar_of(edition.book, today, dict(booked))
    return stacks_that_break(stacks, brief, edition.book, calendar)


def _edition(at: AtHand) -> Edition:
    return Edition(at.row.edition.digest, at.book.policies.hours, at.book)


def _booked(at: AtHand) -> Booked:
    return tuple(sorted(at.booked.items()))


def _to_make(at: AtHand) -> Brief:
    """What the order of work depends on, and no more: a note or a budget changes no hour."""
    design = replace(at.design, photos=(), swatches=(), notes="")
    return settled(
        replace(
            at.brief, client=Client(), avoid=frozenset(), notes="", limits=Limits(), design=design
        )
    )


def offers_for(at: AtHand) -> Offers:
    """What is offered to this consultation today."""
    design = replace(at.design, photos=(), swatches=(), notes="")
    asked = replace(at.brief, client=Client(), avoid=frozenset(), notes="", design=design)
    return _searched(_edition(at), asked, at.today)


@lru_cache(maxsize=8)
def _known(edition: Edition, slice_code: str, how: How) -> Known:
    """The sums of tiers that searches of this book share, whoever asks."""
    return Known()


@lru_cache(maxsize=32)
def _searched(edition: Edition, brief: Brief, today: date) -> Offers:
    known = _known(edition, brief.need.slice, brief.hand_over.how)
    front = core.stacks(brief, edition.book, stack_costs(brief, edition.book, today, known))
    return Offers(front, core.how_many_stand(brief, edition.book) if front else 0)
