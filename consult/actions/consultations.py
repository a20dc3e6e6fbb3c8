"""Opening a consultation and what is said about the event, the people and the limits of the cake."""

from dataclasses import replace
from datetime import date
from typing import Any

from django.db import transaction
from django.utils import timezone

from consult.actions.keeping import Seen, Settled, hold, move_on, next_number, note
from consult.core.design import Client, Design, Event, HandOver, KitchenCake, Limits, Need, Tier
from consult.core.own_pieces import own_code
from consult.core.saying import event_said, limits_said, need_said
from consult.core.tiers import usual_limits, with_top_kept
from consult.models import Consultation, DesignRow, State
from shop.actions import edition_of_today
from shop.core.book import ShopBook, plain
from shop.models import Person


@transaction.atomic
def open_consultation(*, by: Person, client_name: str = "") -> Consultation:
    """Start a consultation on the prices, catalogue and terms of this moment."""
    now = timezone.now()
    edition = edition_of_today()
    consultation = Consultation.objects.create(
        number=next_number(timezone.localdate().year),
        edition=edition,
        opened_by=by,
        opened_at=now,
        changed_at=now,
        client_name=client_name,
        slice=edition.as_value().slices[0].code,
        **_usual_wishes(edition.as_value()),
    )
    DesignRow.objects.create(consultation=consultation, letter="A", body={})
    note(consultation, by=by, what="opened", says=f"Consultation {consultation.number} opened")
    return consultation


def _usual_wishes(book: ShopBook) -> dict[str, Any]:
    """What a new consultation starts from: the shape and the height this shop makes most of."""
    wishes = usual_limits(book)
    return {
        "shapes": [shape.value for shape in wishes.shapes],
        "heights_mm": list(wishes.heights_mm),
    }


@transaction.atomic
def set_event(
    consultation: Consultation,
    *,
    by: Person,
    seen: Seen,
    client_name: str,
    client_email: str,
    client_phone: str,
    occasion: str,
    event_on: date | None,
    hand_over: HandOver,
    avoid: list[str],
    notes: str,
) -> None:
    """Keep who it is for, what for, when, and where it leaves the shop's hands."""
    before = consultation.as_brief(Design())
    after = replace(
        before,
        client=Client(client_name, client_email, client_phone),
        event=Event(occasion, event_on),
        hand_over=hand_over,
        avoid=frozenset(avoid),
        notes=notes,
    )
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="event",
        says=f"Event: {event_said(before, after)}",
        client_name=client_name,
        client_email=client_email,
        client_phone=client_phone,
        occasion=occasion,
        event_on=event_on,
        hand_over_how=hand_over.how.value,
        hand_over_at=hand_over.at,
        distance_km=hand_over.distance_km,
        place=hand_over.place,
        avoid=avoid,
        notes=notes,
    )


@transaction.atomic
def set_need(consultation: Consultation, *, by: Person, seen: Seen, need: Need) -> None:
    """Keep how many are fed, with what slice, and whether the top tier is kept back, in every design."""
    hold(consultation)
    before = consultation.as_brief(Design())
    changed = [
        (row, kept)
        for row in consultation.designs.all()
        if (kept := with_top_kept(design := row.as_value(), need.keep_top)) != design
    ]
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="servings",
        says=f"Servings: {need_said(before.need, need, consultation.book())}",
        guests=need.guests or None,
        slice=need.slice,
        eating_share=need.eating_share,
        spare=need.spare,
        is_change=bool(changed),
        keep_top=need.keep_top,
    )
    for row, kept in changed:
        row.body = plain(kept)
        row.save(update_fields=["body"])


@transaction.atomic
def set_limits(consultation: Consultation, *, by: Person, seen: Seen, limits: Limits) -> None:
    """Keep what the client wants of the stack; the stacks offered follow it."""
    before = consultation.as_brief(Design())
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="limits",
        says=f"Stack: {limits_said(before.limits, limits, consultation.book())}",
        details={"limits": plain(limits)},
        shapes=[shape.value for shape in limits.shapes],
        fewest_tiers=limits.fewest_tiers,
        most_tiers=limits.most_tiers,
        heights_mm=list(limits.heights_mm),
        kitchen_cake=limits.kitchen_cake,
        display_tiers=limits.display_tiers,
        budget_minor=None if limits.budget is None else limits.budget.minor,
    )


class NotOffered(Settled):
    """The shop offers no more what was chosen, so today's prices cannot be taken; the message says what."""


def _gone(consultation: Consultation, book: ShopBook) -> list[str]:
    """What was chosen in any of its designs and is not in `book`, by the name it was chosen under."""
    before, gone = consultation.book(), {}
    chosen = {("slices", consultation.slice)}
    for row in consultation.designs.all():
        design = row.as_value()
        parts: tuple[Tier | KitchenCake, ...] = (*design.tiers, *design.kitchen_cakes)
        for part in parts:
            chosen |= {("flavours", part.flavour), ("fillings", part.filling)}
            chosen.add(("finishes", part.finish))
        own = {own_code(piece) for piece in design.own}
        chosen |= {("decorations", one.what) for one in design.decorations if one.what not in own}
    for kind, code in chosen:
        if code and code not in {thing.code for thing in getattr(book, kind)}:
            names = {thing.code: thing.name for thing in getattr(before, kind)}
            gone[kind, code] = names.get(code, code)
    return sorted(gone.values())


@transaction.atomic
def take_todays_prices(consultation: Consultation, *, by: Person, seen: Seen) -> None:
    """Move an unsigned consultation to the shop's prices, catalogue and terms of this moment.

    Raises NotOffered where a design holds what the shop offers no more.
    """
    edition = edition_of_today()
    hold(consultation)
    if gone := _gone(consultation, edition.as_value()):
        raise NotOffered(
            f"The shop no longer offers {', '.join(gone)}. Choose something else in its place, "
            "then take today's prices."
        )
    if edition.as_value().currency != consultation.book().currency and (
        consultation.budget_minor is not None or consultation.payments.exists()
    ):
        raise NotOffered(
            f"The shop now works in {edition.as_value().currency}: this consultation stays with "
            f"{consultation.book().currency}, in which its budget or a payment was noted."
        )
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="prices",
        says="Today's prices and terms taken",
        details={"edition": edition.digest},
        edition=edition,
    )


@transaction.atomic
def decline(consultation: Consultation, *, by: Person, seen: Seen, why: str) -> None:
    """Close a consultation that comes to nothing. Settled where an order stands: that one is cancelled."""
    if consultation.sheets.filter(signature__isnull=False).exists():
        raise Settled(
            "A sheet of this order is signed, so it cannot be declined. Cancel the order instead: "
            "that works out what goes back to the client."
        )
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="declined",
        says=f"Declined: {why or 'no reason given'}",
        state=State.DECLINED,
    )
