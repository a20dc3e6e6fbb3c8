"""An inquiry from the public page: how it becomes a consultation, is taken up, or declined in words."""

from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from consult import limits
from consult.actions import post
from consult.actions.keeping import Seen, move_on, next_number, note
from consult.core.design import Client, Event, HandOver
from consult.core.inquiring import PriceRange
from consult.core.tiers import usual_limits
from consult.models import Consultation, DesignRow, Inquiry, InquiryDraft, Photo, State
from shop.actions import edition_of_today
from shop.addresses import absolute
from shop.core.book import plain
from shop.core.money import Money
from shop.models import Person

# Inquiries an hour, of one household and of all together; copies a day to one e-mail address, which whoever
# fills in the form may have made up. Our own bounds, no source.
MOST_OF_ONE, MOST_OF_ALL, HOUR = 10, 60, 60 * 60
MOST_COPIES, DAY = 3, 24 * 60 * 60

BY_PAGE = "by the inquiry page"


class TooMany(Exception):
    """So many inquiries came of late, from there or in all, that this one is not taken in now."""


@dataclass(frozen=True, slots=True)
class Said:
    """What somebody asks for, whole and in order."""

    client: Client
    event: Event
    hand_over: HandOver
    guests: int
    slice: str
    avoid: tuple[str, ...]
    wishes: str
    budget: Money | None


@transaction.atomic
def take_in(
    said: Said,
    *,
    draft: InquiryDraft | None,
    prices: PriceRange | None,
    told: str,
    who: str,
) -> Consultation:
    """Make an inquiry a consultation with everything filled in, tell the shop, and send the client a copy.

    `told` is what the page said of the data, `prices` the range it showed; `who` is what inquiries are counted
    by. TooMany if there were too many: nothing is kept then, and nothing counted. The draft ends with it.
    """
    for asker, most in ((who, MOST_OF_ONE), ("all", MOST_OF_ALL)):
        if not limits.allowed("inquiries", asker, most=most, seconds=HOUR):
            raise TooMany
    now, edition = timezone.now(), edition_of_today()
    book = edition.as_value()
    wishes = prices.brief.limits if prices else usual_limits(book)
    consultation = Consultation.objects.create(
        number=next_number(timezone.localdate().year),
        state=State.INQUIRY,
        edition=edition,
        opened_at=now,
        changed_at=now,
        client_name=said.client.name,
        client_email=said.client.email,
        client_phone=said.client.phone,
        occasion=said.event.occasion,
        event_on=said.event.on,
        hand_over_how=said.hand_over.how.value,
        distance_km=said.hand_over.distance_km,
        place=said.hand_over.place,
        avoid=list(said.avoid),
        notes=said.wishes,
        guests=said.guests,
        slice=said.slice,
        shapes=[shape.value for shape in wishes.shapes],
        heights_mm=list(wishes.heights_mm),
        kitchen_cake=wishes.kitchen_cake,
        budget_minor=said.budget.minor if said.budget else None,
    )
    DesignRow.objects.create(consultation=consultation, letter="A", body={})
    photos = _photos_in(draft, consultation)
    inquiry = Inquiry.objects.create(
        consultation=consultation,
        said={**plain(said), "photos": [photo.sha256 for photo in photos]},
        price_from_minor=prices.least.minor if prices else None,
        price_to_minor=prices.most.minor if prices else None,
        currency=book.currency,
        told=told,
        sent_at=now,
    )
    note(
        consultation,
        by=None,
        what="inquiry",
        says="Inquiry from the client",
        at=now,
        who_words=f"{said.client.name}, {BY_PAGE}"[:200],
        details={"price_from": inquiry.price_from_minor, "price_to": inquiry.price_to_minor},
    )
    _tell(consultation, inquiry, said, prices, len(photos))
    if draft is not None:
        InquiryDraft.objects.filter(pk=draft.pk).delete()
    return consultation


def _photos_in(draft: InquiryDraft | None, consultation: Consultation) -> list[Photo]:
    if draft is None:
        return []
    kept = InquiryDraft.objects.filter(pk=draft.pk).values_list("photos", flat=True).first()
    return [
        Photo.objects.create(
            consultation=consultation,
            sha256=photo["sha256"],
            thumbnail_sha256=photo["thumbnail"],
            width=photo["width"],
            height=photo["height"],
            swatches=photo["swatches"],
            added_at=timezone.now(),
        )
        for photo in kept or []
    ]


def _tell(
    consultation: Consultation,
    inquiry: Inquiry,
    said: Said,
    prices: PriceRange | None,
    photos: int,
) -> None:
    context: dict[str, Any] = {
        "said": said,
        "avoid": ", ".join(said.avoid),
        "prices": prices,
        "photos": photos,
        "told": inquiry.told,
    }
    if limits.allowed("inquiry copies", said.client.email.lower(), most=MOST_COPIES, seconds=DAY):
        post.write("inquiry_copy", to=said.client.email, consultation=consultation, context=context)
    path = reverse("consult:overview", args=[consultation.pk])
    post.write(
        "inquiry_came",
        to=consultation.book().identity.email,
        consultation=consultation,
        context={**context, "link": absolute(path)},
    )


@transaction.atomic
def take_up(consultation: Consultation, *, by: Person, seen: Seen) -> None:
    """Go on with an inquiry: from now on it is a consultation like any other."""
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="taken up",
        says="Inquiry taken up",
        while_in=(State.INQUIRY,),
        state=State.CONSULTATION,
    )


@transaction.atomic
def decline(consultation: Consultation, *, by: Person, seen: Seen, words: str, tell: bool) -> None:
    """Decline an inquiry; with `tell`, the client is sent these words."""
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="declined",
        says=f"Declined: {words or 'no reason given'}",
        details={"told": tell},
        while_in=(State.INQUIRY,),
        state=State.DECLINED,
    )
    if tell:
        post.write(
            "inquiry_declined",
            to=consultation.client_email,
            consultation=consultation,
            context={"words": words},
            once=f"inquiry declined {consultation.pk}",
        )
