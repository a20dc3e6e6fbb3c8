"""What part of the making is a task of the shop's list? Known by its words, with the wait each part needs."""

from enum import IntEnum
from functools import lru_cache

from consult.core.design import Tier
from shop.core.measures import MM_PER_INCH


class Role(IntEnum):
    """Parts of the making, in the order in which a tier goes through them."""

    WEIGH = 1
    DRUM = 2  # the board under the whole cake
    TIER_BOARD = 3
    ICING = 4
    MIX = 5
    BAKE = 6
    COOL = 7
    LEVEL = 8
    FILL = 9
    CRUMB = 10
    FINISH = 11
    DECORATE = 12
    JOIN = 13
    BOX = 14
    DRIVE = 15
    SET_UP = 16
    SIDE = 17  # beside the cake: washing up, time in reserve
    OTHER = 18
    TALK = 19  # with the client, and the sketch and the sums of it: done before there is an order


# The chain that a tier goes through; the rest comes in from the side.
CHAIN = (
    Role.MIX, Role.BAKE, Role.COOL, Role.LEVEL, Role.FILL, Role.CRUMB, Role.FINISH,
)  # fmt: skip

# The first of these whose word is in the task's name tells its part.
_WORDS = (
    (Role.SIDE, ("wash", "clean", "tidy", "reserve", "buffer")),
    (Role.BOX, ("box", "pack")),
    (Role.SET_UP, ("set up", "set-up", "at the venue")),
    (Role.CRUMB, ("crumb", "under-coat", "undercoat")),
    (Role.JOIN, ("dowel", "join", "stack the tier")),
    (Role.MIX, ("mix", "batter")),
    (Role.BAKE, ("bake", "baking")),
    (Role.COOL, ("cool",)),
    (Role.LEVEL, ("level", "torte", "split", "trim")),
    (Role.ICING, ("icing", "make filling", "buttercream", "ganache")),
    (Role.FILL, ("fill",)),
    (Role.TIER_BOARD, ("its board", "tier board", "cake card")),
    (Role.DRUM, ("board", "drum")),
    (Role.TALK, ("consultation",)),
    (Role.WEIGH, ("order", "weigh", "shop")),
    (Role.TALK, ("consult", "costing", "sketch", "design")),
)
_OF_THE_ORDER = frozenset({Role.WEIGH, Role.DRUM, Role.BOX, Role.TALK})

LEAST_COOL = 120  # minutes; a trade page: 2 to 4 h, wrapped overnight
LEAST_SETTLE = 120  # minutes filled before the final coat; a decorator's forum post, 2012
LEAST_CHILL_TO_STACK = (
    45  # minutes, before a tier carries or is carried (common practice, no source)
)
BATTER_WAITS = 15  # minutes at most from mixed to baked (common practice, no source)
TURNED_OUT_WITHIN = 15  # minutes after the oven (common practice, no source)
# Minutes from baked to filled. A county fair's rule, University of Nebraska Extension: baked no more
# than two days before.
FILLED_WITHIN = 2 * 24 * 60
BEFORE_IT_SETS = 15  # minutes a coat stays soft enough to take what is pressed on (common practice)
LEAST_CHILL_TO_DRIP = 30  # minutes, before a drip or piping on a coat (common practice: 15 to 30)

# Gisslen, Professional Cooking, Table 32.1: minutes in the oven of a high-fat layer, by inches round.
_OVEN_MINUTES = ((6.0, 18), (8.0, 25), (10.0, 35), (12.0, 35))
# From the same figures: beyond the table, 5 minutes more for 2 in (our own reading, no source).
_MORE_PER_INCH = 2.5


@lru_cache(maxsize=1024)
def role_of(name: str, applies_to: str) -> Role:
    """The part of the making, from the words of a task's name and what it applies to."""
    if applies_to == "join":
        return Role.JOIN
    words = name.lower()
    for role, signs in _WORDS:
        if any(sign in words for sign in signs):
            if applies_to == "delivery":
                return Role.SET_UP
            if (applies_to == "order") == (role in _OF_THE_ORDER):
                return role
    return Role.SET_UP if applies_to == "delivery" else Role.OTHER


def oven_minutes(tier: Tier) -> int:
    """Minutes in the oven by the pan's size, between the sizes of the textbook's table.

    Gisslen, Professional Cooking, Table 32.1: 6 in 18, 8 in 25, 10 and 12 in 35 minutes.
    """
    inches = max(tier.size_mm, tier.width_mm or 0.0) / MM_PER_INCH
    size, minutes = _OVEN_MINUTES[0]
    if inches <= size:
        return minutes
    for more_size, more_minutes in _OVEN_MINUTES[1:]:
        if inches <= more_size:
            share = (inches - size) / (more_size - size)
            return round(minutes + share * (more_minutes - minutes))
        size, minutes = more_size, more_minutes
    return round(minutes + (inches - size) * _MORE_PER_INCH)
