"""Does what was said of the event make sense? The date, the hand-over and the way there."""

from datetime import date, time

from consult.core.design import Event, HandOver, How, Problem
from shop.core.book import ShopBook
from shop.core.measures import number

# What a client is asked about, in the words people use; a group word means all of its kind. Common
# practice, no source; any other substance can be written in the notes.
WORDS_TO_ASK = (
    "gluten", "wheat", "egg", "milk", "peanut", "tree nuts", "almond", "hazelnut", "walnut",
    "pistachio", "cashew", "coconut", "soy", "sesame", "sulphites", "lupin", "mustard", "celery",
    "fish", "shellfish",
)  # fmt: skip


def event_problems(
    event: Event, hand_over: HandOver, book: ShopBook, today: date
) -> tuple[Problem, ...]:
    """What is wrong with the day, the hour or the distance; `where` is the field's name."""
    hours, delivery = book.policies.hours, book.policies.delivery
    problems = []
    if event.on is not None and event.on < today:
        problems.append(Problem("event_on", "That day is past. Choose today or a later day."))
    if event.on is not None and event.on.year > today.year + 5:
        problems.append(
            Problem("event_on", "That is more than five years away. Please look at the year.")
        )
    if hand_over.at is not None and not (
        time.fromisoformat(hours.hand_over_from)
        <= hand_over.at
        <= time.fromisoformat(hours.hand_over_until)
    ):
        problems.append(
            Problem(
                "hand_over_at",
                f"The shop hands cakes over from {hours.hand_over_from} to {hours.hand_over_until}.",
            )
        )
    if hand_over.how is How.DELIVERY and hand_over.distance_km > delivery.furthest_km:
        problems.append(
            Problem(
                "distance_km",
                f"The shop delivers up to {number(float(delivery.furthest_km))} km away.",
            )
        )
    return tuple(problems)


def notice_problems(event: Event, book: ShopBook, today: date) -> tuple[Problem, ...]:
    """Shorter notice than the shop takes stops a sheet; a quote for it can still be looked at."""
    least = book.policies.least_notice_days
    if event.on is None or (event.on - today).days >= least:
        return ()
    days = "1 day" if least == 1 else f"{least} days"
    return (
        Problem("event", f"That is too soon: the shop takes orders with {days} of notice or more."),
    )
