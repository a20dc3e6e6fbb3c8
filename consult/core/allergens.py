"""Who must not eat it? Allergens from the ingredients upward, by the shop's regime, against what the client said."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from consult.core.design import Brief, Problem
from shop.core.book import ShopBook
from shop.core.catalogue import Recipe
from shop.core.policies import Regime

# Tree nuts of FDA, Questions and Answers Regarding Food Allergens, Including the Food Allergen
# Labeling Requirements (Edition 5), 6 January 2025, Table 1: twelve of them.
US_TREE_NUTS = (
    "almond", "black walnut", "brazil nut", "california walnut", "cashew", "hazelnut",
    "heartnut", "macadamia", "pecan", "pine nut", "pistachio", "walnut",
)  # fmt: skip

# Nuts that the edition before still listed and edition 5 dropped. Declared nowhere today, but a
# client who avoids tree nuts is asked about them.
ONCE_LISTED = (
    "beech nut", "butternut", "chestnut", "chinquapin", "coconut", "cola nut", "ginkgo nut",
    "hickory nut", "palm nut", "pili nut", "shea nut",
)  # fmt: skip

GLUTEN = ("wheat", "spelt", "triticale", "rye", "barley", "oats")

# Every substance an ingredient can hold, by the name used for it here, in the order it is declared.
SUBSTANCES: tuple[str, ...] = (
    *GLUTEN,
    "egg", "milk", "peanut", "soy", "sesame",
    *US_TREE_NUTS,
    "celery", "mustard", "lupin", "sulphites", "fish", "crustacean", "mollusc",
    *ONCE_LISTED,
)  # fmt: skip

# Words that mean several substances at once, as a client says them.
GROUPS: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "gluten": frozenset(GLUTEN),
        "tree nuts": frozenset((*US_TREE_NUTS, *ONCE_LISTED)),
        "nuts": frozenset((*US_TREE_NUTS, *ONCE_LISTED, "peanut")),
        "shellfish": frozenset(("crustacean", "mollusc")),
        "eggs": frozenset(("egg",)),
        "dairy": frozenset(("milk",)),
    }
)

# Black walnut (Juglans nigra), California walnut and heartnut are named apart in the US only. The
# other lists say "walnut" (Annex II: Juglans regia). Declared as walnut there too, which is more
# than the letter of Annex II asks: our caution, since an allergy does not keep to one species.
_WALNUTS = {
    "walnut": "walnut",
    "black walnut": "walnut (black)",
    "california walnut": "walnut (California)",
    "heartnut": "walnut (heartnut)",
}

# US: FD&C Act section 201(qq) (21 USC 321(qq)): FALCPA 2004 (Pub. L. 108-282, Title II) and, for
# sesame, the FASTER Act (Pub. L. 117-11) from 1 January 2023. Tree nuts and fish by their own name.
# That "wheat" takes in spelt and triticale is the same FDA guidance, from memory.
_US = {
    "wheat": "wheat",
    "spelt": "wheat (spelt)",
    "triticale": "wheat (triticale)",
    "egg": "egg",
    "milk": "milk",
    "peanut": "peanuts",
    "soy": "soybeans",
    "sesame": "sesame",
    "fish": "fish",
    "crustacean": "crustacean shellfish",
    **{nut: nut for nut in US_TREE_NUTS},
    "brazil nut": "Brazil nut",
    "california walnut": "California walnut",
}

# EU and UK: Regulation (EU) No 1169/2011, Annex II, fourteen entries (in the UK as assimilated law).
# Its exemptions (fully refined soya oil, wheat glucose syrup, gelatine carrying vitamins ...) and its
# 10 mg/kg for sulphites are settled where the shop says what an ingredient holds. Pine nut is not on it.
_EU = {
    "wheat": "wheat (gluten)",
    "spelt": "spelt wheat (gluten)",
    "triticale": "triticale, a wheat and rye hybrid (gluten)",
    "rye": "rye (gluten)",
    "barley": "barley (gluten)",
    "oats": "oats (gluten)",
    "egg": "eggs",
    "milk": "milk",
    "peanut": "peanuts",
    "soy": "soya",
    "sesame": "sesame",
    "almond": "almonds",
    "hazelnut": "hazelnuts",
    "cashew": "cashews",
    "pecan": "pecans",
    "brazil nut": "Brazil nuts",
    "pistachio": "pistachios",
    "macadamia": "macadamia nuts",
    "celery": "celery",
    "mustard": "mustard",
    "lupin": "lupin",
    "sulphites": "sulphites",
    "fish": "fish",
    "crustacean": "crustaceans",
    "mollusc": "molluscs",
    **_WALNUTS,
}

# Canada: Food and Drug Regulations B.01.010.1; Health Canada H164-156/5-1-2017E. Nine tree nuts,
# mustard, gluten sources, sulphites at 10 ppm or more. Celery and lupin are not on it.
_CANADA = {
    "wheat": "wheat (gluten)",
    "spelt": "wheat, spelt (gluten)",
    "triticale": "triticale (gluten)",
    "rye": "rye (gluten)",
    "barley": "barley (gluten)",
    "oats": "oats (gluten)",
    "egg": "eggs",
    "milk": "milk",
    "peanut": "peanuts",
    "soy": "soy",
    "sesame": "sesame",
    "almond": "almonds",
    "hazelnut": "hazelnuts",
    "cashew": "cashews",
    "pecan": "pecans",
    "brazil nut": "Brazil nuts",
    "pistachio": "pistachios",
    "macadamia": "macadamia nuts",
    "pine nut": "pine nuts",
    "mustard": "mustard",
    "sulphites": "sulphites",
    "fish": "fish",
    "crustacean": "crustaceans",
    "mollusc": "molluscs",
    **_WALNUTS,
}

# Australia and New Zealand: Food Standards Code, Standard 1.2.3 and Schedule 9, required names, in
# force 25 February 2024. That spelt and triticale go under wheat is from memory.
_AUSTRALIA_NEW_ZEALAND = {
    "wheat": "wheat (gluten)",
    "spelt": "wheat (spelt, gluten)",
    "triticale": "wheat (triticale, gluten)",
    "rye": "rye (gluten)",
    "barley": "barley (gluten)",
    "oats": "oats (gluten)",
    "egg": "egg",
    "milk": "milk",
    "peanut": "peanut",
    "soy": "soy",
    "sesame": "sesame",
    "almond": "almond",
    "hazelnut": "hazelnut",
    "cashew": "cashew",
    "pecan": "pecan",
    "brazil nut": "Brazil nut",
    "pistachio": "pistachio",
    "macadamia": "macadamia",
    "pine nut": "pine nut",
    "lupin": "lupin",
    "sulphites": "sulphites",
    "fish": "fish",
    "crustacean": "crustacean",
    "mollusc": "mollusc",
    **_WALNUTS,
}

# The declared name of each substance, by regime; a substance that is not in a regime's is not
# declared there.
REGIMES: Mapping[Regime, Mapping[str, str]] = MappingProxyType(
    {
        Regime.US: MappingProxyType(_US),
        Regime.EU: MappingProxyType(_EU),
        Regime.UK: MappingProxyType(_EU),
        Regime.CANADA: MappingProxyType(_CANADA),
        Regime.AUSTRALIA_NEW_ZEALAND: MappingProxyType(_AUSTRALIA_NEW_ZEALAND),
    }
)


def _also_said() -> Mapping[str, str]:
    """The names that the regimes declare ("peanuts", "soya"), as a client may say them too."""
    found: dict[str, set[str]] = {}
    for names in REGIMES.values():
        for substance, name in names.items():
            found.setdefault(name.split(" (")[0].lower(), set()).add(substance)
    return MappingProxyType(
        {name: substances.pop() for name, substances in found.items() if len(substances) == 1}
    )


_ALSO_SAID = _also_said()

NOTE = (
    "This list follows the recipes and the makers' labels that the shop knows of. All of it is made in "
    "one kitchen, so traces cannot be ruled out. Whoever has an allergy should ask their doctor what is "
    "safe for them, and tell us before the order is signed. What must be declared is set by local rules."
)


@dataclass(frozen=True, slots=True)
class Allergens:
    """What a cake declares. Names are the regime's; in `by_part` undeclared substances keep their own."""

    contains: tuple[str, ...]
    may_contain: tuple[str, ...]
    by_part: tuple[tuple[str, tuple[str, ...]], ...]  # ("base tier, filling: fig jam", names)
    conflicts: tuple[Problem, ...]
    note: str


@dataclass(frozen=True, slots=True)
class Part:
    """One thing on or in the cake: `where` as a path into the design, `of` what it is a part, its recipe."""

    where: str
    of: str  # "base tier, filling"
    title: str  # as the catalogue has it
    recipe: Recipe

    @property
    def name(self) -> str:
        return f"{self.of}: {self.title}"


def declared(substance: str, regime: Regime) -> str | None:
    """The name a regime wants declared for a substance, None where it need not be declared."""
    return REGIMES[regime].get(substance)


def meant_by(word: str) -> frozenset[str]:
    """The substances somebody means who avoids `word`; empty for a word nobody knows here."""
    asked = " ".join(word.lower().split())
    if asked in GROUPS:
        return GROUPS[asked]
    meant = (asked, _ALSO_SAID.get(asked, ""), asked.removesuffix("s"))  # "almonds", "walnuts"
    return frozenset([substance for substance in meant if substance in SUBSTANCES][:1])


def tier_words(index: int, tiers: int) -> str:
    """What a tier is called, 0 for the base: "base tier", "tier 2", "top tier"; alone just "cake"."""
    if tiers == 1:
        return "cake"
    if index == 0:
        return "base tier"
    return "top tier" if index == tiers - 1 else f"tier {index + 1}"


def the_tier_words(index: int, tiers: int) -> str:
    """The same in a sentence: "the base tier", "tier 2", "the cake"."""
    words = tier_words(index, tiers)
    return words if words[-1].isdigit() else f"the {words}"


def listed_apart(names: Iterable[str]) -> str:
    """Names one after the other; semicolons between them where one of them has a comma of its own."""
    names = list(names)
    return ("; " if any("," in name for name in names) else ", ").join(names)


def parts_of(brief: Brief, book: ShopBook) -> Iterator[Part]:
    """Every part of the cake and of its kitchen cakes, base first.

    What is not chosen yet is the book's first, as in the price. A code that the book does not have
    raises KeyError.
    """
    design = brief.design
    for at, tier in enumerate(design.tiers):
        words, path = tier_words(at, len(design.tiers)), f"design.tiers[{at}]"
        if tier.is_cake:
            yield _flavour(tier.flavour, book, words, path)
            yield _filling(tier.filling, book, words, path)
        yield _finish(tier.finish, book, words, path)
    for at, cake in enumerate(design.kitchen_cakes):
        words = "kitchen cakes" if cake.count > 1 else "kitchen cake"
        path = f"design.kitchen_cakes[{at}]"
        yield _flavour(cake.flavour, book, words, path)
        yield _filling(cake.filling, book, words, path)
        yield _finish(cake.finish, book, words, path)
    for at, chosen in enumerate(design.decorations):
        if chosen.count < 1:
            continue
        thing = book.decoration(chosen.what)
        on = "" if chosen.tier is None else tier_words(chosen.tier, len(design.tiers)) + ", "
        yield Part(f"design.decorations[{at}]", f"{on}decoration", thing.name, thing.recipe)


def _flavour(code: str, book: ShopBook, words: str, path: str) -> Part:
    thing = book.flavour(code) if code else book.flavours[0]
    return Part(f"{path}.flavour", f"{words}, flavour", thing.name, thing.recipe)


def _filling(code: str, book: ShopBook, words: str, path: str) -> Part:
    thing = book.filling(code) if code else book.fillings[0]
    return Part(f"{path}.filling", f"{words}, filling", thing.name, thing.recipe)


def _finish(code: str, book: ShopBook, words: str, path: str) -> Part:
    thing = book.finish(code) if code else book.finishes[0]
    return Part(f"{path}.finish", f"{words}, finish", thing.name, thing.recipe)


def _held(recipe: Recipe, book: ShopBook) -> tuple[frozenset[str], frozenset[str]]:
    """What a recipe contains and what it may contain, as substances."""
    used = [book.ingredient(line.ingredient) for line in recipe.lines]
    return (
        frozenset().union(*(ingredient.contains for ingredient in used)),
        frozenset().union(*(ingredient.may_contain for ingredient in used)),
    )


def unfit_for(recipe: Recipe, book: ShopBook, avoid: Iterable[str]) -> tuple[str, ...]:
    """What a recipe contains that the client avoids, as substances; empty when it may be chosen."""
    holds, _ = _held(recipe, book)
    meant = frozenset().union(*(meant_by(word) or frozenset((word,)) for word in avoid))
    return tuple(_in_order(holds & meant))


def _in_order(substances: Iterable[str]) -> list[str]:
    """In the order of SUBSTANCES; one the shop wrote in its own word comes last."""
    known = {name: at for at, name in enumerate(SUBSTANCES)}
    return sorted(set(substances), key=lambda name: (known.get(name, len(known)), name))


def _named(substances: Iterable[str], regime: Regime) -> tuple[str, ...]:
    """The names to declare, in order, each once; what the regime does not list is left out."""
    names = (declared(substance, regime) for substance in _in_order(substances))
    return tuple(dict.fromkeys(name for name in names if name))


def allergens_of(brief: Brief, book: ShopBook) -> Allergens:
    """What the whole cake contains and may contain, by part, and where that meets what the client avoids.

    Substances come only from the recipes' ingredients and from what the kitchen handles. A conflict is
    found for a substance that is in the cake even where the regime does not want it declared (coconut).
    """
    regime = book.identity.regime
    avoided = frozenset().union(*(meant_by(word) or frozenset((word,)) for word in brief.avoid))
    contained: set[str] = set()
    traces: set[str] = set(book.policies.may_contain)
    by_part: list[tuple[str, tuple[str, ...]]] = []
    conflicts: list[Problem] = []
    for part in parts_of(brief, book):
        holds, may_hold = _held(part.recipe, book)
        contained |= holds
        traces |= may_hold
        names = dict.fromkeys(declared(name, regime) or name for name in _in_order(holds))
        by_part.append((part.name, tuple(names)))
        for substance in _in_order(holds & avoided):
            asked = substance in ONCE_LISTED and substance not in brief.avoid
            conflicts.append(
                Problem("avoid", _to_be_asked(part, substance))
                if asked
                else Problem(part.where, _contained(part, substance, regime))
            )
    traces -= contained
    for substance in _in_order(traces & avoided):
        conflicts.append(
            Problem(
                "avoid",
                f"Caution: {substance} is not in the recipe, but traces cannot be ruled out. "
                "Ask the client whether traces are safe for them before going on.",
            )
        )
    return Allergens(
        contains=_named(contained, regime),
        may_contain=_named(traces, regime),
        by_part=tuple(by_part),
        conflicts=tuple(conflicts),
        note=NOTE,
    )


def _contained(part: Part, substance: str, regime: Regime) -> str:
    """The sentence for a part that holds what must be avoided."""
    says = f"{part.name[0].upper()}{part.name[1:]} contains {substance}, which the client avoids."
    if declared(substance, regime) is None:
        says += " Local rules do not ask for it to be declared, so only this line says it."
    return says


def _to_be_asked(part: Part, substance: str) -> str:
    """The sentence for what is meant only by a group such as "tree nuts": nobody has to declare it."""
    return (
        f"Caution: {part.name} contains {substance}. It is no longer listed as a tree nut, but some "
        "who avoid tree nuts avoid it too: ask the client."
    )
