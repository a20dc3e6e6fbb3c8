"""Whole briefs as they stand in a file, with one thing changed, for the tests that read them."""

import copy
from datetime import date

from consult.core.brief_file import BriefFile, read_brief
from tests.small_shop import a_book

TODAY = date(2027, 3, 1)

WHOLE = {
    "units": "in",
    "event": {"occasion": "wedding", "date": "2027-05-15"},
    "hand_over": {"how": "delivery", "at": "11:30", "distance_km": 12.5},
    "client": {"name": "Ann Marlowe", "email": "ann@example.org", "phone": "+1 555 0123"},
    "need": {
        "guests": 150,
        "slice": "dessert",
        "eating_share": 0.9,
        "spare": 4,
        "keep_top": True,
    },
    "limits": {
        "shapes": ["round"],
        "tiers": [2, 4],
        "heights": [4],
        "sizes": [6, 8, 10, 12],
        "kitchen_cake": True,
        "display_tiers": 1,
        "budget": "1200.00",
    },
    "design": {
        "stack": "lowest price",
        "flavour": "hazelnut",
        "filling": "Lemon mousse",
        "finish": "silky",
        "colour": "#C9D2BD",
        "decorations": [{"what": "Sugar rose", "tier": 1, "count": 5}, {"what": "leaf"}],
    },
    "avoid": ["peanut", "Tree nuts"],
    "photos": ["garden.jpg"],
    "notes": "Ground floor, no steps.",
}

TIERS = [
    {"shape": "round", "size": 12, "height": 4},
    {"shape": "round", "size": 10, "height": 4, "flavour": "coconut", "colour": "ivory"},
    {"shape": "round", "size": 8, "height": 5, "finish": "white"},
]


def changed(path, value, brief=WHOLE):
    """The brief with one value put in at a dotted path; `...` takes it out."""
    brief = copy.deepcopy(brief)
    at = brief
    *way, last = path.split(".")
    for key in way:
        at = at[int(key) if key.isdigit() else key]
    if value is ...:
        del at[last]
    else:
        at[int(last) if last.isdigit() else last] = value
    return brief


def with_tiers(*tiers, **need):
    brief = changed("design", {"tiers": list(tiers or TIERS)})
    brief["need"] = {"guests": 60, "slice": "dessert", **need}
    return brief


def read(brief, **options):
    found = read_brief(brief, a_book(), TODAY, **options)
    assert isinstance(found, BriefFile), found
    return found


def wrong(brief, **options):
    found = read_brief(brief, a_book(), TODAY, **options)
    assert not isinstance(found, BriefFile)
    return [f"{problem.where}: {problem.says}" for problem in found]
