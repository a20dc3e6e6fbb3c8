"""How is the cake kept and served where this shop sells? Words by place, deferring to the local food code."""

from collections.abc import Mapping
from types import MappingProxyType

from consult.core import choices
from consult.core.cold_rules import Keeping, keeping_of_part
from consult.core.design import Brief, KitchenCake, Tier
from shop.core.book import ShopBook
from shop.core.catalogue import Filling, Finish
from shop.core.policies import Regime

LOCAL_CODE = (
    "The local food code comes first: where it allows less time or asks for colder, keep to it."
)

# What must stay cold, until it is set out and from then on.
_COLD: Mapping[Regime, tuple[str, str]] = MappingProxyType(
    {
        # FDA Food Code 3-501.16 and 3-501.19(B).
        Regime.US: (
            "Keep it at 41 °F (5 °C) or colder until it is set out.",
            "Write down when it left the cold. Serve it within 4 hours of that; what is left then is"
            " thrown away.",
        ),
        # Food Safety and Hygiene (England) Regulations 2013, regulation 32 and Schedule 4.
        Regime.UK: (
            "Keep it at 8 °C or colder until it is set out.",
            "It may stand out once, for up to 4 hours, while it is served. What is left then goes back"
            " into the cold at once or is thrown away.",
        ),
        # Regulation (EC) 852/2004 leaves degrees and hours to the member states (from memory).
        Regime.EU: (
            "Keep it cold, as the local authority asks: often 7 or 8 °C or colder.",
            "Set it out shortly before it is cut. It stands out once, for no more than 4 hours, or less"
            " where local rules say so.",
        ),
        # 4 °C and 2 hours: Health Canada's advice to households, from memory.
        Regime.CANADA: (
            "Keep it at 4 °C or colder until it is set out.",
            "It stands out for no more than 2 hours, or as the local authority allows.",
        ),
        # FSANZ 2-hour/4-hour rule.
        Regime.AUSTRALIA_NEW_ZEALAND: (
            "Keep it at 5 °C or colder until it is set out.",
            "All time out of the cold counts together: under 2 hours it may go back, from 2 to 4 hours it"
            " is eaten and not chilled again, over 4 hours it is thrown away.",
        ),
    }
)

# Room-stable cakes. Common practice, no source; 2 to 4 days at room, 5 to 7 in the cold and 2 to 3
# months frozen are those of a consumer storage guide that cites USDA FoodKeeper.
_COOL = (
    "Keep it boxed in a cool, dry room out of the sun, at 21 °C (70 °F) or colder.",
    "It needs no cold and tastes best when it is not chilled.",
)


# What has not been shown to keep without cold: K-State MF3544, as in `cold_rules.SUGAR_RULE`.
_NOT_SHOWN = (
    "Keep it boxed in a cool room or in the cold until it is set up, at 21 °C (70 °F) or colder.",
    "Its icing or filling has 65 % sugar or less, so it is not shown to keep without cold: let it stand"
    " out no longer than the local food code says.",
)


def keeping_of(thing: Tier | KitchenCake, book: ShopBook) -> Keeping:
    """What its coat and its filling ask for; a display tier has no filling."""
    parts: list[Finish | Filling] = [choices.finish_of(thing, book)]
    if not isinstance(thing, Tier) or thing.is_cake:
        parts.append(choices.filling_of(thing, book))
    return max(keeping_of_part(part, book) for part in parts)


def keeping_of_all(brief: Brief, book: ShopBook) -> Keeping:
    """What the part of the order that asks for most asks for."""
    things: list[Tier | KitchenCake] = [*brief.design.tiers, *brief.design.kitchen_cakes]
    return max((keeping_of(thing, book) for thing in things), default=Keeping.PLAIN)


def keep_words(regime: Regime, keeping: Keeping) -> tuple[str, ...]:
    """How to keep it until it is served, how long it may stand out, and who has the last word."""
    said = {Keeping.PLAIN: _COOL, Keeping.NOT_SHOWN: _NOT_SHOWN, Keeping.COLD: _COLD[regime]}
    return (*said[keeping], LOCAL_CODE)


def keep_until_words(regime: Regime, keeping: Keeping) -> str:
    """The one line for a box."""
    if keeping is Keeping.COLD:
        return _COLD[regime][0]
    if keeping is Keeping.NOT_SHOWN:
        return (
            "Keep cool, below 21 °C (70 °F), or in the cold until it is set out; then no longer than the"
            " local food code says."
        )
    return "Keep cool, dry and out of the sun, below 21 °C (70 °F)."


def before_cutting_words(keeping: Keeping) -> str:
    """When to take it out: common practice, no source."""
    if keeping is Keeping.COLD:
        return "Take it out of the cold about 30 minutes before it is cut, no longer than its time allows."
    return (
        "If it was chilled, take it out an hour or two before it is cut, so that the icing is soft."
        if keeping is Keeping.PLAIN
        else "If it was chilled, take it out about an hour before it is cut."
    )


def eat_by_words(keeping: Keeping, *, kept: bool = False) -> str:
    """How long it is good after hand-over: common practice, and the storage guide named above."""
    if kept:
        return (
            "Kept tier: wrap it airtight and freeze it on the day; best within 2 to 3 months. Thaw it in"
            " the cold."
        )
    if keeping is Keeping.COLD:
        return "Eat within 2 days of hand-over, kept cold all the while."
    if keeping is Keeping.NOT_SHOWN:
        return "Eat it on the day; what is left goes into the cold and is eaten within 2 days."
    return "Eat within 3 days of hand-over; cut cake covered."
