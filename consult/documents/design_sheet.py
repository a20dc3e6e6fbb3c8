"""What does the client agree to, on paper? The design sheet: drawing, tiers, cautions, price, terms, signature."""

from collections.abc import Mapping, Sequence

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer

from consult.core.sheet import DesignSheet, SheetDecoration, SheetTier, SignatureMark
from consult.documents import fonts
from consult.documents.agreed import agreed_parts, changed_parts
from consult.documents.columns import terms_to_sign
from consult.documents.drawing import DrawingLook, cake_scene
from consult.documents.paper import (
    BODY,
    BOLD,
    CLOSE,
    CLOSE_LIST,
    LEAD,
    RIGHT,
    RIGHT_BOLD,
    RIGHT_SMALL,
    SMALL,
    TERMS,
    TITLE,
    Drawing,
    Rule,
    Running,
    Said,
    column_width,
    heading,
    listed,
    long_date,
    opening,
    page_room,
    printed,
    said,
    short_date,
)
from consult.documents.scene import Scene
from consult.documents.signature import signature_block
from consult.documents.tables import TickBox, barred, beside, ledger, photo_rows, swatches
from shop.core.money import Money

SCALES = (4, 5, 6, 8, 10, 12, 15, 20)  # one to so many; the largest drawing that fits is taken
_DRAWING_WIDE, _DRAWING_HIGH = 104 * mm, 148 * mm
_GAP = 7 * mm
_MOST_BESIDE = 70 * mm  # of decorations that stand beside the hand-over
_TALLEST_ROW = 80 * mm  # a price line that is longer may be broken over two pages


def design_sheet(
    sheet: DesignSheet, fingerprint: str, photos: Mapping[str, bytes],
    signature: SignatureMark | None = None,
) -> bytes:  # fmt: skip
    """The sheet as a PDF. `photos` holds JPEG bytes by SHA-256; a missing one is shown as missing."""
    width = column_width(sheet.paper)
    head = _head(sheet, width)
    changed = changed_parts(sheet, width)
    room = page_room(sheet.paper) - (0 if changed else _height(head, width) + 2)
    story: list[Flowable] = [
        *head,
        *changed,
        *sheet_parts(sheet, photos, width, room),
        *agreed_parts(sheet, width),
        *terms_and_agreement(sheet, signature, width),
    ]
    running = Running(
        title="Design sheet",
        about=f"{sheet.client_name}, {sheet.occasion}" if sheet.occasion else sheet.client_name,
        shop=sheet.shop_name,
        number=f"Sheet {sheet.number}, revision {sheet.revision}",
        fingerprint=fingerprint,
    )
    subject = f"{sheet.occasion}, {sheet.event_on.isoformat()}, {sheet.guests} guests"
    return printed(
        story, paper=sheet.paper, locale=sheet.locale, subject=subject, running=running
    )  # fmt: skip


def sheet_parts(
    sheet: DesignSheet, photos: Mapping[str, bytes], width: float, room: float
) -> list[Flowable]:
    """What is made and what it costs; `room` is what the first page has left, in points."""
    return [
        *_cake(sheet, width, room),
        *_price(sheet, width),
        *_cautions(sheet, width),
        *_take_out(sheet, width),
        *_notes(sheet),
        *_photos(sheet, photos, width),
    ]


def _head(sheet: DesignSheet, width: float) -> list[Flowable]:
    """Who, what and when at the left; the shop, number and dates at the right."""
    when = long_date(sheet.event_on, sheet.locale)
    occasion = f"{sheet.occasion}, " if sheet.occasion else ""
    left: list[Flowable] = [
        said("Design sheet", TITLE),
        Spacer(0, 7),
        said(sheet.client_name, BOLD),
        said(f"{occasion}{when}, {sheet.guests} guests", LEAD),
    ]
    if sheet.client_contact:
        left.append(said(sheet.client_contact, SMALL))
    quoted = short_date(sheet.quoted_on, sheet.locale)
    holds = short_date(sheet.holds_until, sheet.locale)
    right: list[Flowable] = [Spacer(0, 4), said(sheet.shop_name, RIGHT_BOLD)]
    right += [
        said(words, RIGHT_SMALL) for words in (sheet.shop_address, sheet.shop_contact) if words
    ]
    right += [
        said(f"Sheet {sheet.number}, revision {sheet.revision}", RIGHT_SMALL),
        said(f"quoted {quoted}, holds to {holds}", RIGHT_SMALL),
    ]
    return [
        beside(left, right, (width * 0.56, width * 0.44 - _GAP), _GAP),
        Spacer(0, 7),
        Rule(width, thick=1.1, ticks=True),
        Spacer(0, 9),
    ]


def scene_of(sheet: DesignSheet) -> tuple[Scene, int]:
    """The drawing and the scale, one to so many, at which it fits its column on paper."""
    least = sheet.board_mm * mm / (_DRAWING_WIDE - 24 * mm)  # measures and rings take that much
    for scale in [one for one in SCALES if one >= least] or SCALES[-1:]:
        scene = cake_scene(
            sheet.tiers, sheet.decorations, sheet.board_mm, units=sheet.units,
            look=DrawingLook.on_paper(scale),
        )  # fmt: skip
        if scene.width * mm / scale <= _DRAWING_WIDE and scene.height * mm / scale <= _DRAWING_HIGH:
            break
    return scene, scale


def _cake(sheet: DesignSheet, width: float, room: float) -> list[Flowable]:
    """The drawing with its colours, the tiers beside it; then decorations and the hand-over.

    Long tiers go under the drawing over the whole width, and the hand-over where it finds room.
    `room` is what the page has left.
    """
    scene, scale = scene_of(sheet)
    drawing = Drawing(scene, scale)
    narrow = width - _DRAWING_WIDE - _GAP
    note = [said(sheet.colour_note, SMALL)] if sheet.colour_note else []
    left = [drawing, *_colours(sheet, _DRAWING_WIDE, 5), *note]
    right = [*_tiers(sheet, narrow), *_servings(sheet)]
    hand_over = _hand_over(sheet)
    left_high, right_high = _height(left, _DRAWING_WIDE), _height(right, narrow)
    hand_over_high = _height(hand_over, narrow)
    if max(left_high, right_high) <= room:
        if right_high + hand_over_high <= min(room, max(left_high + 20 * mm, right_high)):
            right, hand_over = [*right, *hand_over], []
        elif left_high + hand_over_high <= right_high:
            left, hand_over = [*left, *hand_over], []
        top = beside(left, right, (_DRAWING_WIDE, narrow), _GAP)
        return [top, *_decorations_and(sheet, hand_over, width, narrow)]
    right = [*_colours(sheet, narrow, 3), *note, *_servings(sheet)]
    if _height(right, narrow) + hand_over_high <= drawing.height:
        right, hand_over = [*right, *hand_over], []
    top = beside([drawing], right, (_DRAWING_WIDE, narrow), _GAP)
    rest = _decorations_and(sheet, hand_over, width, narrow)
    return [top, Spacer(0, 12), *_tiers(sheet, width), *rest]


def _decorations_and(
    sheet: DesignSheet, hand_over: list[Flowable], width: float, narrow: float
) -> list[Flowable]:
    """A few decorations stand beside the hand-over, many under it."""
    left = _decorations(sheet, _DRAWING_WIDE)
    if not (left and hand_over) or _height(left, _DRAWING_WIDE) > _MOST_BESIDE:
        return [*_kept(hand_over), *_decorations(sheet, width)]
    return [beside(left[1:], hand_over, (_DRAWING_WIDE, narrow), _GAP)]


def _colours(sheet: DesignSheet, width: float, a_row: int) -> list[Flowable]:
    return [Spacer(0, 8), *swatches(sheet.swatches, width, a_row)] if sheet.swatches else []


def _kept(parts: list[Flowable]) -> list[Flowable]:
    return [KeepTogether(parts)] if parts else []


def _height(parts: Sequence[Flowable], width: float) -> float:
    return sum(float(part.wrap(width, 10_000)[1]) for part in parts)


def _tiers(sheet: DesignSheet, width: float) -> list[Flowable]:
    """Top tier first, as they stand in the drawing."""
    rows = [_tier_row(one) for one in reversed(sheet.tiers)]
    rows.append([
        said("", BODY), said(sheet.slice_words, BOLD), said(str(sheet.servings), RIGHT_BOLD)
    ])  # fmt: skip
    first, last = 23 * mm, 13 * mm
    return [
        ledger(
            rows, (first, width - first - last, last), head=("Tier", "Cake and finish", "Serves"),
            right=(2,), ruled_off=len(sheet.tiers),
        )
    ]  # fmt: skip


def _tier_row(one: SheetTier) -> list[list[Flowable]]:
    size: list[Flowable] = [said(one.size, BOLD), said(f"{one.height} high", SMALL)]
    if one.kind:
        size.append(said(one.kind, SMALL))
    cake = [said(words, style) for words, style in ((one.cake, BODY), (one.finish, SMALL)) if words]
    return [size, cake, [said(str(one.servings) if one.servings else "–", RIGHT)]]


def _servings(sheet: DesignSheet) -> list[Flowable]:
    words = [f"Needed: {sheet.need_why or f'{sheet.need} servings.'}"]
    words += [f"And {one.rstrip('.')}." for one in sheet.kitchen_cakes]
    if sheet.kept_words:
        words.append(sheet.kept_words)
    return [Spacer(0, 5), *(said(one, SMALL) for one in words)]


def _decorations(sheet: DesignSheet, width: float) -> list[Flowable]:
    if not sheet.decorations:
        return []
    number, count, where = 9 * mm, 16 * mm, 40 * mm if width > 120 * mm else 22 * mm
    rows = [_decoration_row(place, one) for place, one in enumerate(sheet.decorations, start=1)]
    table = ledger(
        rows, (number, width - number - count - where, where, count),
        head=("No.", "Decoration", "Where", "How many"), right=(3,), air=2.6,
    )  # fmt: skip
    return [*opening("Decorations"), table]


def _decoration_row(number: int, one: SheetDecoration) -> list[Flowable | list[Flowable]]:
    name: list[Flowable] = [said(one.name)]
    if one.note:
        name.append(said(one.note, SMALL))
    return [said(str(number), BOLD), name, said(one.where), said(str(one.count), RIGHT)]


def _photos(sheet: DesignSheet, photos: Mapping[str, bytes], width: float) -> list[Flowable]:
    if not sheet.photos:
        return []
    rows = photo_rows(sheet.photos, photos, width)
    first = KeepTogether([*heading("Pictures we spoke about"), rows[0]])
    return [first, *rows[1:]]


def _cautions(sheet: DesignSheet, width: float) -> list[Flowable]:
    """Allergens and cautions in one barred box."""
    parts: list[Flowable] = []

    def add(label: str, words: str) -> None:
        if words:
            bold = f'<font name="{fonts.SANS_BOLD}">{fonts.words(label, fonts.SANS_BOLD)}</font>'
            parts.append(Said(f"{bold} {fonts.words(words)}", CLOSE))

    add("Contains", f"{', '.join(sheet.contains)}." if sheet.contains else "")
    add("May contain", f"{', '.join(sheet.may_contain)}." if sheet.may_contain else "")
    if sheet.avoid_words:
        parts.append(said(sheet.avoid_words, BOLD))
    if not sheet.take_out_rows:
        out = "; ".join(one.rstrip(".") for one in dict.fromkeys(sheet.take_out))
        add("Take off or out before cutting:", f"{out}." if out else "")
    parts += listed(sheet.cautions, CLOSE_LIST)
    if sheet.allergen_note:
        parts.append(said(sheet.allergen_note, SMALL))
    if not parts:
        return []
    return [KeepTogether([*heading("Allergens and cautions"), Spacer(0, 2), barred(parts, width)])]


def _take_out(sheet: DesignSheet, width: float) -> list[Flowable]:
    """What comes off or out, a line each with a box to tick as it is done."""
    if not sheet.take_out_rows:
        return []
    tick, count, what, where = 7 * mm, 18 * mm, 44 * mm, 34 * mm
    rows = [
        [TickBox(), *(said(words, CLOSE) for words in (one.count, one.what, one.where, one.how))]
        for one in sheet.take_out_rows
    ]
    table = ledger(
        rows, (tick, count, what, where, width - tick - count - what - where),
        head=("", "How many", "What", "Where", "How it comes off"), air=2.2,
    )  # fmt: skip
    return [KeepTogether([*heading("Take off or out before cutting"), table])]


def _hand_over(sheet: DesignSheet) -> list[Flowable]:
    parts: list[Flowable] = [said(sheet.hand_over)] if sheet.hand_over else []
    parts += listed(sheet.conditions, CLOSE_LIST)
    return [*heading("Hand-over"), *parts] if parts else []


def _notes(sheet: DesignSheet) -> list[Flowable]:
    return [*opening("Notes"), said(sheet.notes)] if sheet.notes else []


def _price(sheet: DesignSheet, width: float) -> list[Flowable]:
    """Lines with how each came about, the total, then what is paid when."""
    rows: list[list[Flowable | list[Flowable]]] = []
    for line in sheet.lines:
        rows.append([said(line.what), said(line.why, SMALL), _amount(line.amount, sheet)])
    amounts, what = 26 * mm, 55 * mm
    columns = (what, width - what - amounts, amounts)
    tallest = max((_height([row[1]], columns[1] - 7) for row in rows), default=0.0)
    deposit = f"to hold the date, due {short_date(sheet.deposit_due, sheet.locale)}"
    balance = f"due {short_date(sheet.balance_due, sheet.locale)}"
    sums: list[list[Flowable | list[Flowable]]] = [
        [
            said("Total", BOLD),
            said(sheet.tax_words, SMALL),
            _amount(sheet.total, sheet, RIGHT_BOLD),
        ],
        [said("Deposit"), said(deposit, SMALL), _amount(sheet.deposit, sheet)],
        [said("Balance"), said(balance, SMALL), _amount(sheet.balance, sheet)],
    ]
    table = ledger(
        [*rows, *sums], columns, air=2.2, ruled_off=len(rows), whole_rows=tallest <= _TALLEST_ROW
    )
    return [*opening("Price"), table]


def _amount(money: Money, sheet: DesignSheet, style: ParagraphStyle = RIGHT) -> Flowable:
    return said(money.written(sheet.locale), style)


def terms_and_agreement(
    sheet: DesignSheet, mark: SignatureMark | None, width: float
) -> list[Flowable]:
    """The terms in two columns; the agreement stands under the end of them."""
    agreement = _agreement(sheet, mark, width)
    texts = [part.strip() for part in sheet.terms.split("\n\n") if part.strip()]
    if not texts:
        return [KeepTogether(agreement)]
    head = heading(f"Terms, version {sheet.terms_version}")
    page = page_room(sheet.paper)
    return terms_to_sign(head, texts, TERMS, agreement, width, _GAP, page)


def _agreement(sheet: DesignSheet, mark: SignatureMark | None, width: float) -> list[Flowable]:
    """The sentence that is agreed to and the places to sign."""
    about = f"Consent text, version {sheet.consent_version}. Sheet {sheet.number}, revision {sheet.revision}."
    return [
        *heading("Agreed" if mark else "To be signed"),
        said(sheet.consent),
        Spacer(0, 2),
        said(about, SMALL),
        Spacer(0, 4),
        signature_block(mark, sheet.shop_name, width),
    ]
