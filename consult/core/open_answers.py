"""What must still be answered before there can be a design sheet? Each gap by the step that asks for it."""

from consult.core.allergens import tier_words
from consult.core.design import Brief, Problem
from shop.core.book import ShopBook


def still_missing(brief: Brief, book: ShopBook) -> tuple[Problem, ...]:
    """What must be answered before a sheet can be made; `where` is the step that asks for it."""
    found = []
    if not brief.client.name.strip():
        found.append(Problem("event", "Who is the cake for? The client's name is missing."))
    if brief.event.on is None:
        found.append(Problem("event", "The day of the event is missing."))
    if brief.hand_over.at is None:
        found.append(Problem("event", "The hour of hand-over is missing."))
    if brief.need.guests < 1:
        found.append(Problem("servings", "The number of guests is missing."))
    if not brief.need.slice:
        found.append(Problem("servings", "The size of a slice is not chosen yet."))
    return (*found, *_open_tiers(brief))


def _open_tiers(brief: Brief) -> list[Problem]:
    tiers = brief.design.tiers
    if not tiers:
        return [
            Problem("tiers", "There is no stack of tiers yet."),
            Problem("flavours", "Flavours and fillings follow once there are tiers."),
            Problem("finishes", "Finishes follow once there are tiers."),
        ]
    plain, bare = [], []
    for at, tier in enumerate(tiers):
        if tier.is_cake and not (tier.flavour and tier.filling):
            plain.append(at)
        if not tier.finish:
            bare.append(at)
    return [
        Problem(where, f"{_named(places, len(tiers))} no {what} yet.")
        for where, places, what in (("flavours", plain, "flavour or filling"), ("finishes", bare, "finish"))
        if places
    ]  # fmt: skip


def _named(places: list[int], tiers: int) -> str:
    """Who of the tiers, as a sentence begins: "Tier 2 and the top tier have"."""
    words = [tier_words(at, tiers) for at in places]
    named = [one if one[-1].isdigit() else f"the {one}" for one in words]
    said = " and ".join([", ".join(named[:-1]), named[-1]] if named[1:] else named)
    return f"{said[0].upper()}{said[1:]} {'has' if len(words) == 1 else 'have'}"
