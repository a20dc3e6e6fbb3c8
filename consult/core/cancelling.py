"""What does it come to when a signed order is cancelled? What is kept by the schedule agreed, and what goes back.

All amounts are shop.core.money.Money: whole minor units of the order's one currency.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from babel.dates import format_date

from consult.core.agreed import Agreed, charge
from shop.core.measures import number
from shop.core.money import Money
from shop.core.policies import CancelStep

# UCC 2-718(2)(b): without a term agreed, a buyer in default gets back what passes the smaller of these.
WITHOUT_A_TERM_SHARE = Decimal("0.20")
WITHOUT_A_TERM_MOST = Money(500_00, "USD")


@dataclass(frozen=True, slots=True)
class Cancelling:
    """What cancelling comes to, with its working in words.

    `kept` is at most the schedule's share of `total`; `back` and `owed` are never both above zero:
    received - back + owed = kept.
    """

    total: Money
    deposit: Money
    received: Money  # net: what came in less what went back before
    cancelled_on: date
    hand_over: date
    notice_days: int  # below zero after hand-over
    by_client: bool
    share: Decimal  # 0..1 of the total
    kept: Money
    back: Money
    owed: Money
    due: date  # by when `owed` is to be paid, or `back` paid back
    working: tuple[str, ...]


def steps_signed(agreed: Agreed, hand_over: date) -> tuple[CancelStep, ...]:
    """The schedule as it stands on a signed sheet, whatever the shop's own has become since."""
    return tuple(
        CancelStep((hand_over - line.until).days if line.until else 0, line.share)
        for line in agreed.cancelling
    )


def share_kept(steps: Sequence[CancelStep], notice_days: int) -> Decimal:
    """The share of the total that so many days' notice costs, 0..1.

    The step with the most days that the notice reaches holds; with none reached, all of the total.
    Without any step nothing is kept.
    """
    if not steps:
        return Decimal(0)
    reached = [step for step in steps if step.days_before <= notice_days]
    return max(reached, key=lambda step: step.days_before).share if reached else Decimal(1)


def kept_of(total: Money, share: Decimal) -> Money:
    """That share of the total, rounded once, half up, as the schedule on the signed sheet says it."""
    if not 0 <= share <= 1:
        raise ValueError(f"A share is 0 to 1, not {share}.")
    return charge(total, share)


def cancelling_of(
    *,
    total: Money,
    deposit: Money,
    received: Money,
    steps: Sequence[CancelStep],
    hand_over: date,
    cancelled_on: date,
    by_client: bool,
    due: date,
    locale: str = "en_US",
) -> Cancelling:
    """What cancelling on that day comes to. `received` is net and not below zero.

    Where the shop cancels (`by_client` False) nothing is kept, whatever the schedule says.
    """
    notice = (hand_over - cancelled_on).days
    share = share_kept(steps, notice) if by_client else Decimal(0)
    kept, nothing = kept_of(total, share), Money.zero(total.currency)
    back, owed = max(received - kept, nothing), max(kept - received, nothing)
    bare = Cancelling(
        total, deposit, received, cancelled_on, hand_over, notice, by_client, share, kept, back,
        owed, due, (),
    )  # fmt: skip
    return Cancelling(
        total, deposit, received, cancelled_on, hand_over, notice, by_client, share, kept, back,
        owed, due, (*_notice_words(bare, steps, locale), *_sums_in_words(bare, locale)),
    )  # fmt: skip


def _percent(share: Decimal) -> str:
    return f"{number(float(share * 100))} %"


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def schedule_in_words(steps: Sequence[CancelStep]) -> str:
    """The whole schedule as one sentence: "60 days or more before hand-over 25 % of the total, ..." """
    if not steps:
        return "No part of the total is kept."
    ordered = sorted(steps, key=lambda step: -step.days_before)
    said = [f"{_days(step.days_before)} or more before hand-over {_percent(step.share)} of the total"
            for step in ordered if step.days_before]  # fmt: skip
    later = next((step.share for step in ordered if not step.days_before), Decimal(1))
    last = f"{'later ' if said else ''}{_percent(later)} of the total"
    return f"Kept on cancelling: {'; '.join([*said, last])}."


def _notice_words(of: Cancelling, steps: Sequence[CancelStep], locale: str) -> list[str]:
    day = format_date(of.cancelled_on, "long", locale=locale)
    hand_over = format_date(of.hand_over, "long", locale=locale)
    if of.notice_days > 0:
        when = f"{_days(of.notice_days)} before hand-over on {hand_over}"
    elif of.notice_days == 0:
        when = "on the day of hand-over itself"
    else:
        when = f"{_days(-of.notice_days)} after hand-over on {hand_over}"
    if not of.by_client:
        return [
            f"Cancelled by the shop on {day}, {when}.",
            "Nothing is kept: all that was received goes back.",
        ]
    said = [f"Cancelled by the client on {day}, {when}.", schedule_in_words(steps)]
    if not steps:
        return said
    whole = of.total.written(locale)
    reached = [step.days_before for step in steps if step.days_before <= of.notice_days]
    longest = max(reached, default=0)
    step = f"the step of {_days(longest)}" if longest else "only the last step"
    said.append(
        f"The notice reaches {step}: {_percent(of.share)} of {whole} is {of.kept.written(locale)}."
    )
    return said


def _sums_in_words(of: Cancelling, locale: str) -> list[str]:
    received, kept = of.received.written(locale), of.kept.written(locale)
    if of.back and of.kept:
        said = [f"Received {received}, kept {kept}: {of.back.written(locale)} goes back."]
    elif of.back:
        said = [f"Received {received}: all of it goes back."]
    elif of.owed:
        said = [f"Kept {kept}, received {received}: {of.owed.written(locale)} is still to pay."]
    elif of.kept:
        said = [f"Received {received}, kept {kept}: nothing goes back and nothing is to pay."]
    else:
        said = ["Nothing was received and nothing is kept."]
    paid_in = min(of.deposit, of.received)
    if paid_in and of.by_client:
        stays = min(paid_in, of.kept)
        said.append(
            f"Of the deposit of {of.deposit.written(locale)}, {paid_in.written(locale)} had come in:"
            f" {stays.written(locale)} of that is kept, {(paid_in - stays).written(locale)} goes back."
        )
    return said


def without_a_term(total: Money) -> Money | None:
    """What a seller of goods could keep had nothing been agreed: UCC 2-718(2)(b), less proven damages.

    The smaller of 20 % of the total and $500. None for other currencies: the figure is in dollars.
    """
    if total.currency != WITHOUT_A_TERM_MOST.currency:
        return None
    return min(kept_of(total, WITHOUT_A_TERM_SHARE), WITHOUT_A_TERM_MOST)


def caution(of: Cancelling, place: str, locale: str = "en_US") -> str:
    """What the owner should think of before keeping so much; "" where there is nothing to say.

    General facts and no legal advice: UCC 2-718 for the US; elsewhere what the CMA's guidance on deposits
    and cancellation charges says (CMA37, Consumer Rights Act 2015 Part 2; Directive 93/13/EEC is alike).
    """
    if not of.kept:
        return ""
    usual = without_a_term(of.total) if place in ("", "us") else None
    if usual is not None and of.kept > usual:
        return (
            f"This keeps {of.kept.written(locale)}. With no term agreed, US law (UCC 2-718) lets a seller of goods"
            f" keep {usual.written(locale)} of such an order, and proven losses. More has to be reasonable against"
            " what the shop loses. States differ: take advice if in doubt."
        )
    if usual is None and of.kept > of.deposit:
        return (
            "This keeps more than the deposit. What is kept has to be in keeping with what the shop really loses:"
            " work done, materials bought, a date that cannot be filled. Take advice if in doubt."
        )
    return ""
