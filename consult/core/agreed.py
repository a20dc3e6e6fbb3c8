"""What is agreed beside the cake? Cancelling in words and money, until when things change, risk, withdrawal."""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from babel.dates import format_date

from shop.core.measures import number
from shop.core.money import Money
from shop.core.policies import Agreement, CancelStep

NOTHING_KEPT = (
    "No charge for cancelling is agreed on this sheet. What the terms say holds, and the rest of what"
    " you have paid goes back to you."
)
HOW_COUNTED = (
    "The days are counted from the day your notice reaches us to the day of hand-over. We keep the"
    " charge from what you have paid and give you back the rest; where less was paid, the difference"
    " is still to pay. If we cancel, you get back all you have paid."
)


@dataclass(frozen=True, slots=True)
class CancelLine:
    """One row of the schedule for this very order."""

    notice: str  # "30 to 59 days before hand-over"
    until: date | None  # the last day on which it holds; None for whatever comes later
    share: Decimal  # of the total, 0..1
    costs: Money
    back: Money  # of the deposit, once that is paid

    @property
    def share_words(self) -> str:
        """ "25 %" """
        return f"{number(float(self.share) * 100, 2)} %"


@dataclass(frozen=True, slots=True)
class Agreed:
    """What a client agrees to beside the cake, as it stands on the sheet; texts are the shop's own."""

    cancelling: tuple[CancelLine, ...]  # longest notice first
    cancelling_words: str
    changes_until: date
    changes_words: str
    count_until: date
    count_words: str
    risk_words: str = ""
    photo_words: str = ""  # asked as a question of its own, never a condition
    withdrawal_words: str = ""


def charge(total: Money, share: Decimal) -> Money:
    """What cancelling costs at that share of the total, rounded once, half up."""
    return total.times(share)


def cancel_lines(
    steps: tuple[CancelStep, ...], total: Money, deposit: Money, hand_over: date
) -> tuple[CancelLine, ...]:
    """The schedule for an order of that total, longest notice first; empty where none is set.

    A step holds from its own days of notice up to the step before it; with less notice than the last
    step asks for, all of the total is charged.
    """
    if not steps:
        return ()
    ordered = sorted(steps, key=lambda step: -step.days_before)
    if ordered[-1].days_before > 0 and ordered[-1].share < 1:
        ordered.append(CancelStep(0, Decimal(1)))
    rows = []
    for at, step in enumerate(ordered):
        is_last = at == len(ordered) - 1
        longest = ordered[at - 1].days_before - 1 if at else None
        least = 0 if is_last else step.days_before
        costs = charge(total, step.share)
        rows.append(
            CancelLine(
                notice=_notice(least, longest),
                until=None if is_last else hand_over - timedelta(days=least),
                share=step.share,
                costs=costs,
                back=max(deposit - costs, Money.zero(total.currency)),
            )
        )
    return tuple(rows)


def _notice(least: int, longest: int | None) -> str:
    if longest is None:
        return f"{least} days or more before hand-over" if least else "At any time"
    if not least:
        return f"{longest} days or less before hand-over" if longest else "On the day of hand-over"
    if least == longest:
        return f"{least} days before hand-over"
    return f"{least} to {longest} days before hand-over"


def agreed_of(
    agreement: Agreement,
    *,
    total: Money,
    deposit: Money,
    hand_over: date,
    quoted_on: date,
    locale: str,
) -> Agreed:
    """The shop's agreement worked out for one order."""
    lines = cancel_lines(agreement.cancelling, total, deposit, hand_over)
    changes_until = hand_over - timedelta(days=agreement.changes_until_days)
    count_until = hand_over - timedelta(days=agreement.count_until_days)
    return Agreed(
        cancelling=lines,
        cancelling_words=HOW_COUNTED if lines else NOTHING_KEPT,
        changes_until=changes_until,
        changes_words=_changes_words(changes_until, quoted_on, locale),
        count_until=count_until,
        count_words=_count_words(count_until, quoted_on, locale),
        risk_words=agreement.risk_words.strip(),
        photo_words=agreement.photo_words.strip(),
        withdrawal_words=agreement.withdrawal_words.strip(),
    )


def _changes_words(until: date, quoted_on: date, locale: str) -> str:
    if until < quoted_on:
        return "There is little time, so a change after signing is made only where we still can."
    return (
        f"The design can be changed until {_day(until, locale)}; the price follows the change, and the"
        " new revision is signed again. Later changes are made only where we still can."
    )


def _count_words(until: date, quoted_on: date, locale: str) -> str:
    if until < quoted_on:
        return "The guest count on this sheet is final."
    return f"The guest count can be changed until {_day(until, locale)}; after that it is final."


def _day(day: date, locale: str) -> str:
    return str(format_date(day, "long", locale=locale))
