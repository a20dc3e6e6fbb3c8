"""Sample sheets for the papers' tests: an invented shop, invented clients, invented cakes."""

import hashlib
import io
from dataclasses import replace
from datetime import date

from PIL import Image, ImageDraw

from consult.core.deposit import creditor_reference, epc_payload
from consult.core.design import Kind, Swatch, Tier
from consult.core.sheet import (
    DepositRequest,
    DesignSheet,
    SheetDecoration,
    SheetLine,
    SheetPhoto,
    SheetTier,
    SignatureMark,
    TakeOut,
)
from shop.core.catalogue import Shape
from shop.core.measures import MM_PER_INCH, Units, length
from shop.core.money import Money
from shop.core.policies import Paper

FINGERPRINT = hashlib.sha256(b"a sample sheet").hexdigest()

TERMS = """Changes. Flavours and decorations can be changed until fourteen days before hand-over; a change \
is a new revision of this sheet with a new signature.

Cancelling. The deposit holds the date and the materials bought for it. If you cancel more than thirty days \
before hand-over, what has not been spent is paid back.

Allergens. The cake is made in a kitchen that handles wheat, milk, egg, nuts and sesame. Tell us of any \
allergy before signing.

Hand-over. From the moment of hand-over the cake is in your care. Keep it level, shaded and cool."""


def tier(
    number: int, shape: str, size: float, height: float, texture: str = "smooth", colour: str = "#F4ECDF",
    *, kind: Kind = Kind.EATEN, width: float | None = None, units: Units = Units.INCHES,
    cake: str = "hazelnut, fig jam", finish: str = "Swiss buttercream", servings: int = 24,
) -> SheetTier:  # fmt: skip
    """One tier; lengths in the units."""
    plain = Tier(
        Shape(shape), size * units.mm, height * units.mm, width * units.mm if width else None, kind
    )
    said = {Kind.EATEN: "", Kind.KEPT: "kept for the couple", Kind.DISPLAY: "display"}[kind]
    across = length(plain.size_mm, units)
    return SheetTier(
        number=number, size=f"{across} {shape}", height=length(plain.height_mm, units), kind=said, cake=cake,
        finish=f"{finish}, {texture}", servings=0 if kind is not Kind.EATEN else servings, tier=plain,
        texture=texture, colour=colour,
    )  # fmt: skip


def decoration(
    name: str, symbol: str, count: int = 1, on: int | None = None, colour: str = "", *,
    note: str = "", comes_off: str = "",
) -> SheetDecoration:  # fmt: skip
    where = "whole cake" if on is None else f"tier {on + 1}"
    return SheetDecoration(name, count, where, note, symbol, on, colour, comes_off)


def dollars(amount: str) -> Money:
    return Money.of(amount, "USD")


def three_tiers(**changes: object) -> DesignSheet:
    """An anniversary cake on letter paper, in dollars."""
    sheet = DesignSheet(
        number="2027-0142", revision=2, shop_name="Quillbrook Cakes",
        shop_address="14 Ferry Lane, Millhaven", shop_contact="quillbrook.example, 555 0142",
        client_name="Adaeze Tamm & Jonas Lind", client_contact="adaeze@example.org", occasion="anniversary",
        event_on=date(2027, 5, 15),
        hand_over="Delivered and set up on Saturday, May 15, 2027 at 14:00, Boathouse Hall, 12 km.",
        conditions=(
            "a level table that carries 12 kg", "shade, 21 °C (70 °F) or cooler",
            "out of the cold for no longer than 4 hours",
        ),
        guests=70, slice_words="dessert slices, 1 x 2 in", need=70, need_why="70 guests, all eating: 70 servings",
        servings=71, kept_words="",
        tiers=(
            tier(1, "round", 10, 4, "combed", "#F4ECDF", servings=38),
            tier(2, "round", 8, 4, "smooth", "#C9D3BB", cake="honey, mascarpone", servings=24),
            tier(3, "round", 5, 4, "smooth", "#E2AF8E", servings=9),
        ),
        kitchen_cakes=(),
        decorations=(
            decoration("Sugar figs, halved and whole", "fruit", 7, 1, "#6B3A55"),
            decoration("Rosemary sprigs, sugar", "leaf", 9, 1, "#7E9475"),
            decoration("Pearl border", "border", 3),
            decoration("Names in piped icing", "lettering", 1, 0, note="“Adaeze & Jonas, ten years”"),
        ),
        swatches=(
            Swatch("warm white", "#F4ECDF"), Swatch("pale sage", "#C9D3BB"), Swatch("terracotta", "#E2AF8E"),
            Swatch("fig", "#6B3A55"), Swatch("rosemary", "#7E9475"),
        ),
        colour_note="Colours on paper differ a little from icing.", photos=(), height_mm=12 * MM_PER_INCH,
        board_mm=14 * MM_PER_INCH, contains=("wheat", "milk", "egg", "hazelnut"),
        may_contain=("peanut", "sesame"), allergen_note="Follow the advice of your doctor.",
        avoid_words="You asked us to avoid peanut: not used in this cake, but handled in our kitchen.",
        cautions=("Not safe for somebody with a severe peanut allergy.",),
        take_out_rows=(TakeOut("all", "Dowels and boards", "under tiers 2 to 3", "count them"),), take_out=(),
        lines=(
            SheetLine("Tier 1, 10 in round", dollars("212.00"), "38 servings at $5.00, combed finish $22.00"),
            SheetLine("Tier 2, 8 in round", dollars("138.00"), "24 servings at $5.00, smooth finish $18.00"),
            SheetLine("Tier 3, 5 in round", dollars("62.00"), "9 servings at $5.00, smooth finish $17.00"),
            SheetLine("Sugar figs, halved and whole", dollars("63.00"), "7 at $9.00"),
            SheetLine("Delivery and set-up", dollars("40.00"), "12 km, of which 10 km are included"),
        ),
        total=dollars("515.00"), tax_words="includes sales tax of $31.20", deposit=dollars("257.50"),
        deposit_due=date(2027, 3, 10), balance=dollars("257.50"), balance_due=date(2027, 5, 1),
        quoted_on=date(2027, 3, 3), holds_until=date(2027, 3, 17), notes="", terms_version="3",
        terms=TERMS, consent_version="2",
        consent="I have read this sheet and its terms, and I order the cake as it is described here.",
        units=Units.INCHES, paper=Paper.LETTER, locale="en_US",
    )  # fmt: skip
    return replace(sheet, **changes)


def one_tier() -> DesignSheet:
    """The least: one small tier, one decoration, nothing else."""
    return three_tiers(
        tiers=(tier(1, "round", 8, 4, "soft", "#F3E7DC", finish="fondant", cake="lemon, curd"),),
        decorations=(decoration("Sugar roses", "rose", 3, 0, "#C98A86"),), swatches=(), colour_note="",
        board_mm=12 * MM_PER_INCH, height_mm=4 * MM_PER_INCH, cautions=(), may_contain=(), avoid_words="",
        occasion="birthday", client_name="Mira Oake", terms="", guests=20, need=20, servings=24,
    )  # fmt: skip


LONG_NAME = (
    "Wilhelmina-Charlotte Featherstonehaugh-Vandenberghe & Maximiliana Oyelaran-Konstantinopoulou"
)
ACCENTED = "Łukasz Žižka, Ñandú Ș ő, Ψυχή Жанна, Nguyễn Thị Ánh"


def six_tiers(**changes: object) -> DesignSheet:
    """The most: six tiers, sixteen decorations, six pictures, long names and three pages of terms."""
    coats = (
        (16, "smooth", "#F4ECDF"), (14, "ruffled", "#E9D8CF"), (12, "rustic", "#D9DDD0"),
        (10, "stencil", "#F4ECDF"), (8, "painted", "#C9D8E0"), (6, "drip", "#F4ECDF"),
    )  # fmt: skip
    names = (
        ("Sugar roses, wired", "rose", 14, None, "#C98A86"), ("Blossoms", "blossom", 30, None, "#F3E3DA"),
        ("Leaves", "leaf", 24, None, ""), ("Berries", "berry", 40, None, "#8E2F3C"),
        ("Satin ribbon", "ribbon", 1, 0, "#6B3A55"), ("Pearls", "pearls", 60, 1, ""),
        ("Gold leaf flecks", "leaf_metal", 30, 3, ""), ("Topper", "topper", 1, None, ""),
        ("Figs", "fruit", 3, 2, ""), ("Bead border", "border", 1, 1, ""), ("Edible print", "print", 1, 2, ""),
        ("Piped names", "lettering", 1, 0, ""), ("Silver flecks", "leaf_metal", 12, 4, "#B8BEC4"),
        ("Blue blossoms", "blossom", 9, 0, "#7F97B8"), ("Red currants", "berry", 12, 1, "#A3341F"),
        ("Ivy", "leaf", 6, 0, "#4F6B4A"),
    )  # fmt: skip
    sheet = three_tiers(
        client_name=LONG_NAME, client_contact="wilhelmina-charlotte@example.org, +44 20 7946 0000",
        occasion="wedding", guests=280,
        need=300, servings=304, need_why="280 guests, all eating, and 20 to spare: 300 servings",
        tiers=tuple(
            tier(place, "round", size, 4, texture, colour,
                 cake="dark chocolate with sour cherry, and vanilla bean custard",
                 finish="Swiss meringue buttercream, warm white", servings=60 - place,
                 kind=Kind.KEPT if place == 6 else Kind.EATEN)
            for place, (size, texture, colour) in enumerate(coats, start=1)
        ),
        decorations=tuple(
            decoration(name, symbol, count, on, colour, comes_off="lift off by its pick" if symbol == "topper" else "")
            for name, symbol, count, on, colour in names
        ),
        kitchen_cakes=("2 of 12 x 8 in rectangle, 48 servings each",),
        kept_words="The top tier is kept for the couple and not counted.",
        board_mm=20 * MM_PER_INCH, height_mm=24 * MM_PER_INCH, terms="\n\n".join([TERMS] * 9),
        photos=tuple(SheetPhoto(hashlib.sha256(picture(index)).hexdigest(), caption)
                     for index, caption in enumerate(CAPTIONS)),
        notes=f"Names on the cake: {ACCENTED}. Please leave the back plain.",
        cautions=("Wired flowers are not food: each stands in a pick and comes out before cutting.",
                  "Gold leaf is pure gold, sold as food.", "Heavy: two people carry each part."),
        take_out_rows=(TakeOut("all", "Dowels and boards", "under tiers 2 to 6", "count them"),
                       TakeOut("14", "Sugar roses, wired", "whole cake", "lift out with their picks")),
    )  # fmt: skip
    return replace(sheet, **changes)


CAPTIONS = (
    "the garden wall", "her grandmother’s lace", "roses as in this picture, but smaller and fewer",
    "colour of the invitations", "the hall", "a table like this one",
)  # fmt: skip
_PICTURE_SIZES = ((1600, 1200), (900, 1600), (1600, 900), (1200, 1200), (500, 400), (1600, 1067))


def picture(index: int) -> bytes:
    """An invented photo: a circle on a busy ground, so that stretching it would show."""
    width, height = _PICTURE_SIZES[index % len(_PICTURE_SIZES)]
    ground = Image.effect_mandelbrot((width, height), (-2, -1.2, 1, 1.2), 60).convert("RGB")
    ground = Image.blend(
        ground, Image.new("RGB", (width, height), (150 + index * 12, 140, 120)), 0.6
    )
    centre, radius = (width / 2, height / 2), min(width, height) / 3
    ImageDraw.Draw(ground).ellipse(
        (centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius),
        fill=(200, 60, 50),
    )
    written = io.BytesIO()
    ground.save(written, "JPEG", quality=88)
    return written.getvalue()


def mixed_shapes() -> DesignSheet:
    """Every shape that differs from a round one, and textures that the others lack, on A4 in centimetres."""
    centimetres = Units.CENTIMETRES
    return three_tiers(
        client_name="Łukasz Žižka", paper=Paper.A4, units=centimetres, locale="en_GB", board_mm=500,
        slice_words="coffee slices, 2.5 x 5 cm",
        tiers=(
            tier(1, "rectangle", 42, 8, "smooth", "#2F3E46", width=30, units=centimetres),
            tier(2, "hexagon", 34, 8, "soft", "#D9CDB8", units=centimetres),
            tier(3, "oval", 29, 8, "combed", "#EADBC8", width=20, units=centimetres),
            tier(4, "petal", 22, 10, "smooth", "#E7C9C4", units=centimetres),
            tier(5, "square", 15, 10, "sheer", "#EAD9C0", units=centimetres),
            tier(6, "heart", 10, 8, "soft", "#B8493C", units=centimetres, kind=Kind.DISPLAY),
        ),
        decorations=(
            decoration("Figures of the couple", "figure", 2, None), decoration("Chocolate drip", "drip", 1, 3),
            decoration("Berries", "berry", 9, 1), decoration("Gold leaf", "leaf_metal", 30, 0),
            decoration("White roses", "rose", 4, 0, "#FFFFFF"), decoration("Leaves", "leaf", 6, 2),
        ),
    )  # fmt: skip


def drawn_mark() -> SignatureMark:
    """Two strokes, as a finger draws them."""
    wave = tuple((0.08 + step * 0.02, 0.5 + 0.3 * ((step % 6) / 6 - 0.4)) for step in range(40))
    return SignatureMark(
        "Adaeze Tamm", "March 4, 2027 at 15:12 CET", (wave, ((0.1, 0.85), (0.6, 0.78))), "Ben Arrow",
        "drawn at the counter",
    )  # fmt: skip


def typed_mark(name: str = "Jonas Lind") -> SignatureMark:
    return SignatureMark(name, "March 5, 2027 at 20:40 CET", (), "", "typed on the private link")


# The account number is the example of the IBAN registry for Germany.
IBAN = "DE89370400440532013000"


def euro_request(**changes: object) -> DepositRequest:
    reference = creditor_reference("2027-0142")
    deposit = Money.of("257.50", "EUR")
    request = DepositRequest(
        number="2027-0142", revision=2, shop_name="Quillbrook Cakes", shop_address="Fährweg 14, Mühlhafen",
        shop_contact="quillbrook.example", client_name="Adaeze Tamm & Jonas Lind",
        client_contact="adaeze@example.org", occasion="anniversary", event_on=date(2027, 5, 15),
        asked_on=date(2027, 3, 4), total=Money.of("515.00", "EUR"), deposit=deposit,
        received=Money.zero("EUR"), to_pay=deposit, due=date(2027, 3, 10),
        balance=Money.of("257.50", "EUR"), balance_due=date(2027, 5, 1), reference=reference,
        account_name="Quillbrook Cakes", iban=IBAN, bic="COBADEFFXXX",
        how_to_pay="By bank transfer with the reference above, or in cash at the counter.",
        epc_payload=epc_payload("Quillbrook Cakes", IBAN, deposit, reference=reference),
        after_words="When it has come in, the date is yours: we hold May 15 and buy what the cake needs.",
        sheet_fingerprint=FINGERPRINT, paper=Paper.A4, locale="en_IE",
    )  # fmt: skip
    return replace(request, **changes)
