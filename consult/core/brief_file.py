"""What does a brief in a file ask for? Its JSON read whole, with everything that is wrong in it at once, by path."""

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from consult.core.allergens import GROUPS, SUBSTANCES, meant_by
from consult.core.brief_parts import Part, decimal_of, part_of, said_back
from consult.core.brief_tiers import BriefSizes, tiers_in
from consult.core.design import (
    Brief,
    ChosenDecoration,
    Client,
    Design,
    Event,
    HandOver,
    How,
    KitchenCake,
    Limits,
    Need,
    Problem,
    StackChoice,
    Tier,
)
from consult.core.event import event_problems
from consult.core.stack_rules import stack_problems
from shop.core.book import ShopBook
from shop.core.catalogue import Shape
from shop.core.measures import Units
from shop.core.money import Money, minor_digits

# Bounds of our own, no source: beyond them it is a slip of the pen, or more than a paper can show.
MOST_GUESTS = 2000
MOST_SPARE = 500
MOST_PIECES = 1000  # of one decoration
MOST_DECORATIONS = 60
MOST_PHOTOS = 12
LONGEST_NOTES = 4000

# Where event.py's fields stand in the file.
_IN_THE_FILE = {
    "event_on": "event.date",
    "hand_over_at": "hand_over.at",
    "distance_km": "hand_over.distance_km",
}


@dataclass(frozen=True, slots=True)
class ForAllTiers:
    """What the brief wants on every tier that says nothing of its own; codes of the catalogue."""

    flavour: str
    filling: str
    finish: str
    colour: str = ""
    colour_name: str = ""


@dataclass(frozen=True, slots=True)
class BriefFile:
    """A brief as read. With a `stack` to be chosen the design has no tiers yet: see `with_stack`."""

    brief: Brief
    units: Units
    stack: StackChoice | None  # None: the tiers are given
    photos: tuple[str, ...]  # paths as written
    for_all: ForAllTiers


def read_brief(
    raw: object, book: ShopBook, today: date, *, stacks_only: bool = False
) -> BriefFile | tuple[Problem, ...]:
    """The brief in `raw` (JSON's own types), or everything that is wrong in it, by path.

    Lengths are in the brief's `units`, money is a decimal string in the shop's currency, days are ISO
    8601. Catalogue choices are taken by code or by name. Where only the tier question is asked,
    `stacks_only`, the event, the hand-over, the client and the design may be left out.
    """
    problems: list[Problem] = []
    asked = ("event", "hand_over", "client", "design")
    always = ("units", "need")
    rest = ("limits", "avoid", "photos", "notes")
    root = part_of(
        raw,
        "",
        problems,
        always if stacks_only else ("units", "event", "hand_over", "client", "need", "design"),
        (*asked, *rest) if stacks_only else rest,
    )
    units = root.one_of("units", {unit.value: unit for unit in Units}, book.identity.units)
    sizes = BriefSizes(units, book)
    event, hand_over = _event_and_hand_over(root, book, today)
    need = _need(root, book)
    limits = _limits(root, sizes)
    stack, for_all, tiers, decorations = _design(root, sizes, need)
    brief = Brief(
        client=_client(root),
        event=event,
        hand_over=hand_over,
        need=need,
        limits=limits,
        design=Design(tiers=tiers, decorations=decorations),
        avoid=_avoid(root),
        notes=root.text("notes", LONGEST_NOTES),
    )
    photos = _photos(root)
    if problems:
        return tuple(problems)
    return BriefFile(brief, units, stack, photos, for_all)


def _client(root: Part) -> Client:
    client = root.part("client", ("name",), ("email", "phone"))
    return Client(client.text("name", 200, 1), client.email("email"), client.text("phone", 60))


def _event_and_hand_over(root: Part, book: ShopBook, today: date) -> tuple[Event, HandOver]:
    said = root.part("event", ("occasion", "date"))
    event = Event(said.text("occasion", 120, 1), said.day("date"))
    given = root.part("hand_over", ("how", "at"), ("distance_km",))
    how = given.one_of("how", {how.value: how for how in How}, How.COLLECTION)
    nowhere = Decimal(0)
    distance = given.decimal("distance_km", lambda km: km >= 0, "0 or more kilometres", nowhere)
    if how is How.DELIVERY and not given.has("distance_km"):
        given.refuse("distance_km", "is needed for a delivery")
    # A brief names no address, and a sheet does not do without: it says that it is still open.
    place = "an address to be agreed" if how is How.DELIVERY else ""
    hand_over = HandOver(how, given.hour("at", event.on), distance, place)
    for problem in event_problems(event, hand_over, book, today):
        where = _IN_THE_FILE.get(problem.where, problem.where)
        root.problems.append(Problem(where, problem.says))
    return event, hand_over


def _need(root: Part, book: ShopBook) -> Need:
    need = root.part("need", ("guests", "slice"), ("eating_share", "spare", "keep_top"))
    share = need.decimal(
        "eating_share", lambda share: 0 < share <= 1, "above 0 and at most 1", Decimal(1)
    )
    return Need(
        guests=need.whole("guests", 1, MOST_GUESTS),
        slice=need.chosen("slice", book.slices, "slice size"),
        eating_share=share,
        spare=need.whole("spare", 0, MOST_SPARE),
        keep_top=need.flag("keep_top"),
    )


def _limits(root: Part, sizes: BriefSizes) -> Limits:
    book, most = sizes.book, sizes.book.policies.stacks.most_tiers
    limits = root.part(
        "limits",
        (),
        ("shapes", "tiers", "heights", "sizes", "kitchen_cake", "display_tiers", "budget"),
    )
    fewest, highest = _tier_range(limits, most)
    return Limits(
        shapes=_shapes(limits, sizes),
        fewest_tiers=fewest,
        most_tiers=highest,
        heights_mm=sizes.heights(limits, "heights"),
        sizes_mm=sizes.pan_sizes(limits, "sizes"),
        kitchen_cake=limits.flag("kitchen_cake"),
        display_tiers=limits.whole("display_tiers", 0, most - 1),
        budget=_money(limits, "budget", book.currency),
    )


def _tier_range(limits: Part, most: int) -> tuple[int, int | None]:
    if not limits.has("tiers"):
        return 1, None
    ends = limits.values["tiers"]
    numbers = [decimal_of(end) for end in ends] if isinstance(ends, list) else []
    whole = [int(end) for end in numbers if end is not None and end == end.to_integral_value()]
    if len(whole) != 2 or len(numbers) != 2 or not 1 <= whole[0] <= whole[1] <= most:
        limits.refuse("tiers", f"must be two whole numbers, fewest and most, within 1 to {most}")
        return 1, None
    return whole[0], whole[1]


def _shapes(limits: Part, sizes: BriefSizes) -> tuple[Shape, ...]:
    owned = sizes.shapes_owned()
    found = []
    for at, word in enumerate(limits.items("shapes", len(Shape))):
        shape = next((shape for shape in owned if shape.value == word), None)
        if shape is None:
            listed = ", ".join(shape.value for shape in owned)
            says = f"no {said_back(word)} pan is owned; shapes owned: {listed}"
            limits.refuse(f"shapes[{at}]", says)
        else:
            found.append(shape)
    return tuple(dict.fromkeys(found))


def _money(part: Part, key: str, currency: str) -> Money | None:
    if not part.has(key):
        return None
    value = part.values[key]
    digits = minor_digits(currency)
    example = "1200" + ("." + "0" * digits if digits else "")
    try:
        amount = Money.of(value, currency) if isinstance(value, str) else None
    except ValueError:
        amount = None
    if amount is None or amount.minor <= 0:
        part.refuse(key, f'must be an amount in {currency} above 0 as text, like "{example}"')
        return None
    return amount


def _avoid(root: Part) -> frozenset[str]:
    found = set()
    for at, word in enumerate(root.items("avoid", len(SUBSTANCES))):
        if isinstance(word, str) and meant_by(word):
            found.add(" ".join(word.lower().split()))
        else:
            listed = ", ".join((*GROUPS, *SUBSTANCES))
            root.refuse(f"avoid[{at}]", f"{said_back(word)} is not known; there are: {listed}")
    return frozenset(found)


def _photos(root: Part) -> tuple[str, ...]:
    paths = []
    for at, path in enumerate(root.items("photos", MOST_PHOTOS)):
        if isinstance(path, str) and path.strip() and "\0" not in path:
            paths.append(path)
        else:
            root.refuse(f"photos[{at}]", "must be the path of a picture")
    return tuple(paths)


def _design(
    root: Part, sizes: BriefSizes, need: Need
) -> tuple[StackChoice | None, ForAllTiers, tuple[Tier, ...], tuple[ChosenDecoration, ...]]:
    book = sizes.book
    design = root.part(
        "design",
        (),
        ("stack", "tiers", "flavour", "filling", "finish", "colour", "decorations"),
    )
    for_all = _for_all(design, book)
    stack: StackChoice | None = None
    tiers: tuple[Tier, ...] = ()
    if root.has("design") and design.has("stack") == design.has("tiers"):
        design.refuse("stack", "give either stack, a choice, or tiers, from base to top")
    elif design.has("tiers"):
        tiers = _given_tiers(design, sizes, for_all, need)
    else:
        names = {choice.value: choice for choice in StackChoice}
        stack = design.one_of("stack", names, StackChoice.CLOSEST_FIT)
    finishes = [tier.finish for tier in tiers] or [for_all.finish]
    if for_all.colour and not any(book.finish(code).takes_colour for code in finishes):
        design.refuse("colour", f"{book.finish(finishes[0]).name} takes no colour")
    known = len(tiers) if design.has("tiers") else None
    return stack, for_all, tiers, _decorations(design, book, known)


def _for_all(design: Part, book: ShopBook) -> ForAllTiers:
    colour, colour_name = design.colour("colour")
    return ForAllTiers(
        flavour=design.chosen("flavour", book.flavours, "flavour") or book.flavours[0].code,
        filling=design.chosen("filling", book.fillings, "filling") or book.fillings[0].code,
        finish=design.chosen("finish", book.finishes, "finish") or book.finishes[0].code,
        colour=colour,
        colour_name=colour_name,
    )


def _given_tiers(
    design: Part, sizes: BriefSizes, for_all: ForAllTiers, need: Need
) -> tuple[Tier, ...]:
    before = len(design.problems)
    bare = tiers_in(design, sizes, keep_top=need.keep_top)
    tiers = tuple(dressed(tier, for_all, sizes.book) for tier in bare)
    if len(design.problems) == before:
        design.problems.extend(
            Problem(f"design.{problem.where}", problem.says)
            for problem in stack_problems(tiers, sizes.book)
        )
    return tiers


def _decorations(design: Part, book: ShopBook, tiers: int | None) -> tuple[ChosenDecoration, ...]:
    """`tiers` is how many there are, None while the stack is still to be chosen."""
    most = tiers or book.policies.stacks.most_tiers
    found = []
    for at, raw in enumerate(design.items("decorations", MOST_DECORATIONS)):
        path = design.where(f"decorations[{at}]")
        part = part_of(raw, path, design.problems, ("what",), ("tier", "count"))
        tier = part.whole("tier", 1, most) if part.has("tier") else 0
        found.append(
            ChosenDecoration(
                what=part.chosen("what", book.decorations, "decoration"),
                count=part.whole("count", 1, MOST_PIECES, default=1),
                tier=tier - 1 if tier else None,
            )
        )
    return tuple(found)


def dressed(tier: Tier, for_all: ForAllTiers, book: ShopBook) -> Tier:
    """A tier with what it leaves unsaid taken from the choices for all tiers."""
    finish = tier.finish or for_all.finish
    takes = book.finish(finish).takes_colour and not tier.colour
    return replace(
        tier,
        flavour=(tier.flavour or for_all.flavour) if tier.is_cake else "",
        filling=(tier.filling or for_all.filling) if tier.is_cake else "",
        finish=finish,
        colour=for_all.colour if takes else tier.colour,
        colour_name=for_all.colour_name if takes else tier.colour_name,
    )


def with_stack(
    read: BriefFile, tiers: tuple[Tier, ...], kitchen_cakes: tuple[KitchenCake, ...], book: ShopBook
) -> Brief | tuple[Problem, ...]:
    """The brief with the stack that was chosen, flavoured and finished as it asks.

    Kitchen cakes stay as the search priced them, of the shop's first flavour, filling and finish.
    Problems when a decoration is wanted on a tier that this stack does not have.
    """
    design = read.brief.design
    problems = tuple(
        Problem(
            f"design.decorations[{at}].tier",
            f"is {chosen.tier + 1}, but the {read.stack} stack has {len(tiers)}",
        )
        for at, chosen in enumerate(design.decorations)
        if chosen.tier is not None and chosen.tier >= len(tiers)
    )
    if problems:
        return problems
    return replace(
        read.brief,
        design=replace(
            design,
            tiers=tuple(dressed(tier, read.for_all, book) for tier in tiers),
            kitchen_cakes=kitchen_cakes,
        ),
    )


def as_for_stacks(read: BriefFile, book: ShopBook) -> Brief:
    """The brief as the stack search is to price it: what is wanted on every tier stands at each level.

    Its tiers only carry choices; the search takes no size or height from them.
    """
    any_tier = Tier(Shape.ROUND, 100.0, 100.0)
    tiers = read.brief.design.tiers or (any_tier,) * book.policies.stacks.most_tiers
    dressed_tiers = tuple(dressed(tier, read.for_all, book) for tier in tiers)
    return replace(read.brief, design=replace(read.brief.design, tiers=dressed_tiers))
