"""Would a schedule for cancelling look unfair? What the owner should think about before using it; no legal advice."""

from decimal import Decimal
from itertools import pairwise

from shop.core.policies import Agreement, CancelStep

# UCC 2-718(2)(b): with no term agreed a buyer in default gets back what passes the smaller of 20 % and $500.
US_USUAL_SHARE = Decimal("0.20")

GENERAL = (
    "Keep only what cancelling really costs you: work done, what was bought, hours you cannot sell again. Note how"
    " you worked it out, so that you can show it.",
    "Say deposit, what it is for and when it stops going back. A bare “non-refundable” does not hold everywhere.",
)
BY_PLACE = {
    # CMA, "Deposits, advance payments and cancellation charges"; CMA37 (2015); Consumer Rights Act 2015 Part 2.
    "uk": (
        "United Kingdom: a deposit should be a small share of the price, and what you keep must reflect your real"
        " loss. “No refund in any circumstances” is likely to be unfair and then does not bind the client.",
    ),
    # Directive 93/13/EEC, annex 1(d) and (e), from memory; Directive 2011/83/EU Art. 9 and 16.
    "eu": (
        "European Union: a term that makes a consumer pay far more than your loss, or that lets you keep a payment"
        " while you owe nothing when you cancel, may be unfair and then does not bind the client.",
        "European Union: a cake put together only from your own set options may not count as made to order"
        " (Commission Notice 2021/C 525/01, 5.11.2), so a client who orders from home may withdraw.",
    ),
    # Uniform Commercial Code 2-718(1), (2)(b) and (3).
    "us": (
        "United States: what you keep must be reasonable beside the harm you expect or have (UCC 2-718), else it is"
        " a penalty and void. With no term agreed, the client gets back all but the smaller of 20 % and $500, less"
        " losses you can prove. States differ.",
    ),
    # Each province has its own Consumer Protection Act; from memory.
    "ca": (
        "Canada: each province has its own rules for orders made at a distance and for charges on cancelling."
        " A charge far above your loss may be struck down as a penalty.",
    ),
}


def _percent(share: Decimal) -> str:
    return f"{(share * 100).normalize():f} %"


def fairness_cautions(
    agreement: Agreement, *, deposit_share: Decimal, bake_days_before: int
) -> tuple[str, ...]:
    """What to think about, for this schedule and where the shop trades: the owner's eyes only.

    `deposit_share` is 0..1 of the total, `bake_days_before` how early a cake is begun.
    """
    steps = sorted(agreement.cancelling, key=lambda step: -step.days_before)
    found = [*_of_schedule(steps, deposit_share, bake_days_before)]
    if agreement.place == "us":
        found += _above_usual(steps)
    return (*found, *BY_PLACE.get(agreement.place, ()), *GENERAL)


def _of_schedule(steps: list[CancelStep], deposit_share: Decimal, bake_days: int) -> list[str]:
    if not steps:
        return [
            "There is no schedule: when a client cancels, the whole of what was paid goes back, unless your terms"
            " say otherwise."
        ]
    found = []
    first = steps[0]
    if first.share >= deposit_share > 0:
        found.append(
            f"However early a client cancels, the whole deposit of {_percent(deposit_share)} stays with you. Months"
            " ahead you can still sell those hours, so this is hard to defend. Begin with a smaller share."
        )
    whole = [step.days_before for step in steps if step.share == 1]
    if whole and max(whole) > max(bake_days, 0) + 7:
        found.append(
            f"All of the total is kept from {max(whole)} days before, though a cake is begun at most {bake_days}"
            " days before. Until then you have not spent all of it."
        )
    if steps[-1].days_before > 0 and steps[-1].share < 1:
        found.append(
            f"With less notice than {steps[-1].days_before} days all of the total is kept. Add a step of 0 days if"
            " you mean less."
        )
    return found


def _above_usual(steps: list[CancelStep]) -> list[str]:
    above = [step for step in steps if step.share > US_USUAL_SHARE]
    if not above:
        return []
    return [
        f"From {above[0].days_before} days before, more than {_percent(US_USUAL_SHARE)} is kept: be ready to show the"
        " loss behind it."
    ]


def schedule_problems(steps: tuple[CancelStep, ...]) -> tuple[str, ...]:
    """What makes a schedule senseless; empty when it may be used. Shares never fall as hand-over comes nearer."""
    ordered = sorted(steps, key=lambda step: -step.days_before)
    found = []
    if len({step.days_before for step in ordered}) != len(ordered):
        found.append("Two steps have the same number of days. Leave one of them out.")
    for earlier, later in pairwise(ordered):
        if later.share < earlier.share:
            found.append(
                f"At {later.days_before} days less is kept than at {earlier.days_before} days. The nearer the"
                " hand-over, the more is kept."
            )
    return tuple(found)
