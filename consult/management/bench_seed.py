"""What is measured on? The sample shop with a rich consultation, six pictures of 12 megapixels, and many more rows."""

import io
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, time, timedelta
from decimal import Decimal

import numpy as np
from django.utils import timezone
from PIL import Image, ImageDraw

from consult.actions import consultations, deposits, designs, photos, sheets
from consult.actions.keeping import Seen
from consult.core.design import (
    Brief,
    ChosenDecoration,
    Client,
    Design,
    Event,
    HandOver,
    How,
    Limits,
    Need,
    PhotoRef,
)
from consult.core.reckoning import stack_costs
from consult.core.sheet_making import deposit_request_of, sheet_of
from consult.core.stacks import stacks
from consult.core.strokes import Strokes
from consult.core.tiers import usual_limits
from consult.core.timeline import booking
from consult.finding import AtHand, consultation_at_hand
from consult.models import BenchDay, Consultation, DesignRow, Sheet, State
from shop.core.book import ShopBook
from shop.core.catalogue import Shape
from shop.models import Person

PHOTO_SIZE = (4032, 3024)  # the 12 megapixels of most phones
NAMES = ("Ines Falk", "Otto Brandl", "Mara Quist", "Tom Adeyemi", "Lena Sorel", "Piet Haan")
OCCASIONS = ("wedding", "anniversary", "birthday", "christening", "retirement")
STATES = (State.CONSULTATION, State.QUOTED, State.SIGNED, State.CONFIRMED)
# The width of the signature box is three times its height; a loop and two strokes.
MARK = Strokes((
    tuple((0.1 + at / 200, 0.5 + 0.3 * float(np.sin(at / 6))) for at in range(120)),
    ((0.72, 0.2), (0.8, 0.8)),
    ((0.85, 0.3), (0.9, 0.7), (0.95, 0.3)),
))  # fmt: skip


@dataclass(frozen=True)
class Measured:
    """Consultations by what they are at: still open, a sheet to sign, signed with its deposit asked for."""

    being_made: Consultation
    to_sign: Consultation
    signed: Consultation


def a_photo(number: int) -> bytes:
    """A made picture of a phone's size: soft light, a few shapes and a camera's grain, as JPEG."""
    width, height = PHOTO_SIZE
    grains = np.random.default_rng(number)
    across, down = np.linspace(0, 1, width), np.linspace(0, 1, height)[:, None]
    light = np.stack([180 + 60 * across * down, 150 + 70 * (1 - across) + 0 * down,
                      140 + 50 * np.sin(3 * across + number) * down], axis=-1)  # fmt: skip
    picture = Image.fromarray(np.clip(light, 0, 255).astype(np.uint8))
    draw = ImageDraw.Draw(picture)
    for _ in range(60):
        x, y, r = grains.integers(0, (width, height, 400))
        draw.ellipse((x - r, y - r, x + r, y + r), fill=tuple(grains.integers(60, 255, 3).tolist()))
    # In spots of 8 pixels: finer grain is gone once the photo is shrunk, and the paper too small.
    grain = grains.normal(0, 14, (height // 8, width // 8, 1)).repeat(8, axis=0).repeat(8, axis=1)
    grainy = np.clip(np.asarray(picture) + grain, 0, 255).astype(np.uint8)
    out = io.BytesIO()
    Image.fromarray(grainy).save(out, "JPEG", quality=90)
    return out.getvalue()


def a_saturday(today: date, *, weeks: int) -> date:
    day = today + timedelta(weeks=weeks)
    return day + timedelta(days=(5 - day.weekday()) % 7)


def rich_consultation(
    by: Person,
    pictures: Sequence[bytes] = (),
    *,
    like: Consultation | None = None,
    weeks: int = 30,
) -> Consultation:
    """A wedding of 120 with three tiers, a coat and a colour for each, seven decorations and the pictures.

    The pictures of another consultation are taken over where it is `like` one: reading one takes a second.
    """
    row = consultations.open_consultation(by=by, client_name="Nora Feld and Ilya Brandt")

    def seen() -> Seen:
        return Seen(row.revision, "bench")

    consultations.set_event(
        row, by=by, seen=seen(), client_name="Nora Feld and Ilya Brandt",
        client_email="nora@example.org", client_phone="555-0190", occasion="wedding",
        event_on=a_saturday(timezone.localdate(), weeks=weeks), avoid=[],
        notes="The cake stands under the old pear tree.",
        hand_over=HandOver(How.DELIVERY, time(13, 30), Decimal(14), "The Long Barn"),
    )  # fmt: skip
    code = row.book().slices[0].code
    consultations.set_need(row, by=by, seen=seen(), need=Need(120, code, Decimal(1), 4))
    for picture in pictures:
        photos.add_photo(row, by=by, seen=None, data=picture)
    for photo in like.photos.all() if like else ():
        photo.pk, photo.consultation = None, row
        photo.save(force_insert=True)
    captions = {photo.pk: f"wish {place}" for place, photo in enumerate(row.photos.all(), 1)}
    photos.caption_photos(row, by=by, seen=seen(), captions=captions)
    _dress(row, by)
    wide = Limits(kitchen_cake=True)  # every pan and height: the longest search, nine cards
    consultations.set_limits(row, by=by, seen=Seen(row.revision, "bench"), limits=wide)
    return row


def _dress(row: Consultation, by: Person) -> None:
    def keep(act, **what) -> None:
        at = consultation_at_hand(row.pk)
        act(row, at.design, by=by, seen=Seen(row.revision, "bench"), **what)

    at = consultation_at_hand(row.pk)
    wanted = dressed(at.brief, at.book, at.today)
    keep(designs.choose_tiers, tiers=wanted.tiers)
    keep(designs.choose_swatches, swatches=wanted.swatches)
    keep(designs.choose_decorations, decorations=wanted.decorations)


def dressed(brief: Brief, book: ShopBook, today: date) -> Design:
    """The best stack of three round tiers of one height, and what is in, on and around each tier."""
    heights = usual_limits(book).heights_mm
    asked = replace(brief, limits=Limits((Shape.ROUND,), 3, 3, heights))
    best = stacks(asked, book, stack_costs(asked, book, today))[0]
    colours = brief.design.photos[0].swatches[:3] if brief.design.photos else ()
    finishes = ("stencilled-fondant", "combed-buttercream", "ruffled-buttercream")
    tiers = tuple(
        replace(
            tier,
            flavour=book.flavours[place].code,
            filling=book.fillings[place].code,
            finish=finishes[place],
            colour=colours[place].hex if place < len(colours) else "",
            colour_name=colours[place].name if place < len(colours) else "",
        )
        for place, tier in enumerate(best.tiers)
    )
    put_on = (
        ("pearl-border", 1, None), ("sugar-rose", 9, 1), ("sugar-leaf", 14, 1),
        ("sugar-filler", 20, 2), ("chocolate-drip", 1, 0), ("fresh-berries", 6, 2),
        ("card-topper", 1, 2),
    )  # fmt: skip
    decorations = tuple(ChosenDecoration(*one) for one in put_on)
    return Design(tiers, decorations, swatches=colours, photos=brief.design.photos)


def rich_brief(book: ShopBook, today: date, pictures: tuple[PhotoRef, ...]) -> Brief:
    """The same wedding as a value, for what needs no database."""
    brief = Brief(
        client=Client("Nora Feld and Ilya Brandt", "nora@example.org", "555-0190"),
        event=Event("wedding", a_saturday(today, weeks=30)),
        hand_over=HandOver(How.DELIVERY, time(13, 30), Decimal(14), "The Long Barn"),
        need=Need(120, book.slices[0].code, Decimal(1), 4),
        design=Design(photos=pictures),
        notes="The cake stands under the old pear tree.",
    )
    return replace(brief, design=dressed(brief, book, today))


def with_sheet(row: Consultation, by: Person) -> Sheet:
    """The consultation's sheet, made for signing."""
    at = consultation_at_hand(row.pk)
    revision = sheets.next_revision(row)
    sheet = sheet_of(
        at.brief, at.book, at.reckoning, number=row.number, revision=revision, quoted_on=at.today
    )
    return sheets.make_sheet(
        row, by=by, seen=Seen(at.row.revision, "bench"), sheet=sheet, bench=_bench(at)
    )


def _bench(at: AtHand) -> tuple[tuple[date, int], ...]:
    return booking(at.brief, at.book, at.reckoning.work, at.today, at.booked)


def signer_of(row: Sheet, by: Person) -> sheets.Signer:
    return sheets.Signer("Nora Feld", MARK, True, row.fingerprint, "192.0.2.7", "a tablet", by)


def signed(row: Consultation, by: Person) -> Sheet:
    """Its sheet made and signed, and the deposit asked for."""
    sheet_row = with_sheet(row, by)
    sheets.sign_sheet(row, sheet_row, signer=signer_of(sheet_row, by))
    sheet = sheets.sheet_value(sheet_row)
    request = deposit_request_of(sheet, row.book(), sheet_row.fingerprint, timezone.localdate())
    deposits.ask_for_deposit(row, sheet_row, by=by, request=request)
    return sheet_row


def many_rows(like: Consultation, by: Person, count: int) -> None:
    """As many consultations as a busy half year has, so that lists and sums have something to go through."""
    now, body = timezone.now(), like.designs.get().body
    rows = [
        Consultation(
            number=f"{now.year - 1}-{place:04d}", edition=like.edition, opened_by=by, opened_at=now,
            changed_at=now - timedelta(minutes=place), client_name=NAMES[place % len(NAMES)],
            occasion=OCCASIONS[place % len(OCCASIONS)], event_on=a_saturday(now.date(), weeks=2 + place // 4),
            guests=60 + place % 90, slice=like.slice, state=STATES[place % len(STATES)],
        )
        for place in range(1, count + 1)
    ]  # fmt: skip
    Consultation.objects.bulk_create(rows)
    kept = list(Consultation.objects.filter(number__startswith=f"{now.year - 1}-"))
    DesignRow.objects.bulk_create(
        DesignRow(consultation=row, letter="A", body=body) for row in kept
    )
    BenchDay.objects.bulk_create(
        BenchDay(consultation=row, on=row.event_on - timedelta(days=before), minutes=90)
        for row in kept
        if row.state in (State.SIGNED, State.CONFIRMED)
        for before in (1, 2, 3)
    )


def fill_in(by: Person, *, count: int) -> Measured:
    """Three rich consultations with six pictures each, and others up to `count` in all."""
    pictures = [a_photo(number) for number in range(6)]
    being_made = rich_consultation(by, pictures)
    to_sign, done = (rich_consultation(by, like=being_made, weeks=weeks) for weeks in (34, 38))
    with_sheet(to_sign, by)
    signed(done, by)
    many_rows(being_made, by, max(count - 3, 0))
    return Measured(being_made, to_sign, done)
