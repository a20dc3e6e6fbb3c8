"""What can hurt someone? Sentences the sheet must carry, given the choices; what comes off before cutting."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from consult.core.allergens import listed_apart, parts_of, the_tier_words, tier_words
from consult.core.carrying import Carried, to_carry
from consult.core.cold_rules import Keeping, keeping_of_part
from consult.core.design import Brief, Kind
from consult.core.sheet import TakeOut
from consult.core.support_joins import levels_in
from shop.core.book import ShopBook
from shop.core.catalogue import Filling, Finish
from shop.core.measures import weight_in_words
from shop.core.policies import Regime

# Codes of cautions that follow from the design. Those for finishes and decorations are in REGISTRY too.
RAW_EGG, KEEP_COOL, SUGAR, SUPPORTS, HEAVY = "raw-egg", "keep-cool", "sugar", "supports", "heavy"
INEDIBLE, DISPLAY = "inedible-parts", "display-tier"


@dataclass(frozen=True, slots=True)
class Caution:
    """One sentence or two for the client's sheet. `source` says where it comes from, for the shop."""

    code: str
    says: str
    source: str


@dataclass(frozen=True, slots=True)
class Entry:
    """A caution as kept: `says` with {what} for the parts it is about; other words for some regimes.

    An empty sentence in `by_regime` means that nothing is said there.
    """

    says: str
    source: str
    by_regime: Mapping[Regime, str] = field(default_factory=dict)


_COOL_US = (
    "{what} must be kept cold, at 41 °F (5 °C) or less, until it is served. Out of the cold it is eaten "
    "or thrown away within 4 hours, or as the local food code says."
)
_EU_GOLD = (
    "{what}: gold (E 175) is permitted here on confectionery and chocolate decorations, not on plain cake. "
    "Lift it off before eating unless the local authority has said otherwise."
)
_EU_AZO = (
    "{what}: name of the colours used is on the label. They may have an adverse effect on activity and "
    "attention in children."
)

REGISTRY: Mapping[str, Entry] = MappingProxyType(
    {
        RAW_EGG: Entry(
            "{what} holds egg that is not cooked through. Pregnant women, small children, the elderly and "
            "anyone who is ill should not eat it. Pasteurised egg, or heating to 160 °F (71 °C), avoids this.",
            "FDA, What You Need to Know About Egg Safety",
        ),
        KEEP_COOL: Entry(
            "{what} must be kept cold until it is served, as the local food code says.",
            "local food codes",
            {
                Regime.US: _COOL_US,  # FDA Food Code 3-501.16 and 3-501.19(B)
                Regime.UK: (  # Food Safety and Hygiene (England) Regulations 2013, reg. 32 and Schedule 4
                    "{what} must be kept at 8 °C or less. It may stand out once, for up to 4 hours, when it "
                    "is served; local rules decide."
                ),
                Regime.AUSTRALIA_NEW_ZEALAND: (  # FSANZ 2-hour/4-hour rule
                    "{what} must be kept at 5 °C or less. All time out of the cold counts together: under "
                    "2 hours it may go back, up to 4 hours it is eaten, after that it is thrown away."
                ),
            },
        ),
        SUGAR: Entry(
            "{what}: 65 % sugar or less by weight, so not shown to keep without cold. Keep "
            "it cool until it is set up, and let it stand out no longer than the local food code says.",
            "Kansas State University, Food Safety of Frostings and Fillings, MF3544",
        ),
        INEDIBLE: Entry(
            "Not to be eaten: {what}. Count these parts and take every one off before cutting; the list is "
            "on this sheet.",
            "common practice, no source",
        ),
        "small-parts": Entry(
            "{what}: small parts that could be swallowed. Take them off before cutting and keep them away "
            "from children under three.",
            "common practice, no source",
        ),
        "wires": Entry(
            "{what}: wires and picks go into the cake. They sit in food-safe sleeves, are never cut and "
            "never left in a serving.",
            "common practice, no source",
        ),
        "fresh-flowers": Entry(
            "{what}: florists' flowers are not food and some are poisonous. Stems stay out of the cake; "
            "take the flowers off, and the icing they touched, before cutting.",
            "common practice, no source",
        ),
        "glitter": Entry(
            '{what}: only glitter sold as "edible" with its ingredients listed is used. "Non-toxic" or '
            '"for decoration only" is not food and must come off.',
            "FDA Advises Home and Commercial Bakers to Avoid Use of Non-Edible Food Decorative Products",
            {
                Regime.UK: (  # FSA guidance on glitter, reissued 13 May 2014
                    '{what}: only glitter labelled "for food" with its additives named is used. "For food '
                    'contact" or "non-toxic" is not food and must come off.'
                )
            },
        ),
        "dust": Entry(
            '{what}: only dust sold as "edible" with its ingredients listed is used. Dusts that are not '
            "food have made children ill with copper and lead.",
            "CDC, MMWR 70(43):1501-1504, 29 October 2021",
        ),
        "metals": Entry(
            "{what}: metal leaf and metal-coated balls are decoration. Ask whether they are food where you "
            "are; where they are not, lift them off before eating.",
            "FDA CPG 545.200 (silver dragees); for metal leaf from memory",
        ),
        "gold": Entry(
            "{what}: gold leaf is not among the colours listed for food here. Lift it off before eating, "
            "and ask the local authority what is permitted.",
            "21 CFR 73 (leaf not listed, from memory); Regulation (EC) 1333/2008",
            {
                Regime.EU: _EU_GOLD,
                Regime.UK: _EU_GOLD,
                Regime.CANADA: "{what}: whether gold leaf may be eaten is set by local rules; ask, or lift "
                "it off before eating.",
                Regime.AUSTRALIA_NEW_ZEALAND: "{what}: whether gold leaf may be eaten is set by local "
                "rules; ask, or lift it off before eating.",
            },
        ),
        "e171": Entry(
            "{what} may be whitened with titanium dioxide, which is permitted here but no longer in the "
            "European Union. Ask us for one without it.",
            "Regulation (EU) 2022/63",
            {
                Regime.EU: "{what}: titanium dioxide (E 171) may not be used in food here. Only whites "
                "and colours whose label is free of it are used."
            },
        ),
        "azo-colours": Entry(
            "",
            "Regulation (EC) 1333/2008 Article 24 and Annex V (from memory)",
            {Regime.EU: _EU_AZO, Regime.UK: _EU_AZO},
        ),
        "red-3": Entry(
            "",
            "FDA order revoking FD&C Red No. 3, 15 January 2025 (from memory)",
            {
                Regime.US: "{what}: FD&C Red No. 3 may not be used in food after 15 January 2027. Only "
                "reds without it are used."
            },
        ),
        "alcohol": Entry(
            "{what} is painted or dusted with alcohol as the carrier. Most of it dries off but traces stay; "
            "tell us if nobody may have any and we use another way.",
            "common practice, no source",
        ),
        "choking": Entry(
            "{what}: hard or round pieces can choke a small child. Take them off young children's servings.",
            "common practice, no source",
        ),
        "candles": Entry(
            "{what}: candles and sparklers stand clear of flowers, ribbon, paper and hair, and only types "
            "sold for use on food are used.",
            "common practice, no source",
        ),
        SUPPORTS: Entry(
            "There are dowels and boards inside, which are not food. The cake is taken apart from the top "
            "down and every dowel is pulled out and counted before a tier is cut.",
            "common practice, no source",
        ),
        DISPLAY: Entry(
            "Not to be eaten: {what} is carved foam under real icing. It is never cut.",
            "common practice, no source",
        ),
        HEAVY: Entry(
            "{what}. More than one person carries it, level, with the way cleared first; it is assembled "
            "at the venue where it cannot be carried whole.",
            "the shop's own limit, or that of NIOSH, Publication 94-110, for the cake in its box",
        ),
    }
)


def caution(code: str, what: str, regime: Regime) -> Caution | None:
    """The caution of that code about `what`, None where the regime says nothing of it.

    A code that is not in REGISTRY is taken as the owner's own sentence.
    """
    entry = REGISTRY.get(code)
    if entry is None:
        return Caution(code, code, "the shop's own words")
    says = entry.by_regime.get(regime, entry.says).replace("{what}", what)
    return Caution(code, says[0].upper() + says[1:], entry.source) if says else None


def cautions_of(brief: Brief, book: ShopBook) -> tuple[Caution, ...]:
    """Every caution this design calls for, each once, naming what it is about; the order of REGISTRY.

    They are the usual ones and each defers to local codes; they take no one's place who is licensed.
    """
    about: dict[str, list[str]] = {}
    for code, what in _reasons(brief, book):
        named = about.setdefault(code, [])
        if what not in named:
            named.append(what)
    order = [code for code in REGISTRY if code in about]
    order += sorted(code for code in about if code not in REGISTRY)
    found = (caution(code, _together(about[code]), book.identity.regime) for code in order)
    return tuple(one for one in found if one)


def _together(names: list[str]) -> str:
    return listed_apart(names)


def _reasons(brief: Brief, book: ShopBook) -> Iterator[tuple[str, str]]:
    """Each code that applies, with the name of what it applies to."""
    yield from _from_recipes(brief, book)
    yield from _from_choices(brief, book)
    yield from _from_decorations(brief, book)
    tiers = brief.design.tiers
    if len(tiers) > 1 or any(levels_in(tier) > 1 for tier in tiers):
        yield SUPPORTS, ""
    for at, tier in enumerate(tiers):
        if tier.kind is Kind.DISPLAY:
            yield DISPLAY, the_tier_words(at, len(tiers))
    yield from _too_heavy(brief, book)


def _from_recipes(brief: Brief, book: ShopBook) -> Iterator[tuple[str, str]]:
    for part in parts_of(brief, book):
        if ".flavour" in part.where:
            continue  # baked through
        if any(book.ingredient(line.ingredient).raw_egg for line in part.recipe.lines):
            yield RAW_EGG, part.title


def _chosen_finishes(brief: Brief, book: ShopBook) -> Iterator[Finish]:
    design = brief.design
    codes = [tier.finish for tier in design.tiers] + [cake.finish for cake in design.kitchen_cakes]
    for code in codes:
        yield book.finish(code) if code else book.finishes[0]


def _from_choices(brief: Brief, book: ShopBook) -> Iterator[tuple[str, str]]:
    design = brief.design
    eaten = [tier for tier in design.tiers if tier.is_cake]
    codes = [tier.filling for tier in eaten] + [cake.filling for cake in design.kitchen_cakes]
    for code in codes:
        filling = book.filling(code) if code else book.fillings[0]
        yield from _kept(filling, book)
    for finish in _chosen_finishes(brief, book):
        yield from _kept(finish, book)
        for code in finish.cautions:
            yield code, finish.name


def _kept(part: Filling | Finish, book: ShopBook) -> Iterator[tuple[str, str]]:
    keeping = keeping_of_part(part, book)
    if keeping is Keeping.COLD:
        yield KEEP_COOL, part.name
    elif keeping is Keeping.NOT_SHOWN:
        yield SUGAR, part.name


def _from_decorations(brief: Brief, book: ShopBook) -> Iterator[tuple[str, str]]:
    for chosen in brief.design.decorations:
        if chosen.count < 1:
            continue
        thing = book.decoration(chosen.what)
        if not thing.is_eaten:
            yield INEDIBLE, thing.name
        for code in thing.cautions:
            yield code, thing.name


def _too_heavy(brief: Brief, book: ShopBook) -> Iterator[tuple[str, str]]:
    units, tiers = book.identity.units, brief.design.tiers
    if not tiers:
        return
    whole, parts = to_carry(tiers, book)
    heaviest = max((part for part in parts if not part.is_for_one), key=_grams, default=None)
    for name, one in (("heaviest tier", heaviest), ("whole cake", whole)):
        if one is not None and not one.is_for_one:
            weighs = weight_in_words(one.grams, units)
            yield HEAVY, f"the {name} weighs {weighs}, more than {one.limit_in_words(units)}"
            return


def _grams(one: Carried) -> float:
    return one.grams


def take_out(brief: Brief, book: ShopBook) -> tuple[str, ...]:
    """What comes off or out before cutting, as sentences: `take_out_rows` in words."""
    return tuple(str(row) for row in take_out_rows(brief, book))


def take_out_rows(brief: Brief, book: ShopBook) -> tuple[TakeOut, ...]:
    """What comes off or out before cutting, in the order it is done: decorations, then supports."""
    design = brief.design
    tiers = len(design.tiers)
    rows = []
    for chosen in design.decorations:
        thing = book.decoration(chosen.what)
        if chosen.count < 1 or (thing.is_eaten and not thing.comes_off):
            continue
        where = "whole cake" if chosen.tier is None else tier_words(chosen.tier, tiers)
        how = thing.comes_off or "take off before cutting"
        rows.append(TakeOut(str(chosen.count), thing.name, where, how))
    if tiers > 1:
        under = "under the top tier" if tiers == 2 else f"under tiers 2 to {tiers}"
        how = "count them; from the top down, lift each tier off with its board, then pull out its dowels"
        rows.append(TakeOut("all", "Dowels and boards", under, how))
    for at, tier in enumerate(design.tiers):
        if levels_in(tier) > 1:
            how = "cut the upper level, take out its board, then pull out and count the dowels under it"
            rows.append(
                TakeOut("all", "Board and dowels", f"inside {the_tier_words(at, tiers)}", how)
            )
    for at, tier in enumerate(design.tiers):
        if tier.kind is Kind.DISPLAY:
            rows.append(
                TakeOut("1", "Carved foam", tier_words(at, tiers), "set it aside, it is never cut")
            )
    return tuple(rows)
