"""When does the cake change hands? As a calendar file (RFC 5545) that a phone or a computer takes in."""

import uuid
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from django.http import Http404, HttpResponse
from icalendar import Calendar, Event

from consult import store
from consult.actions.post import Attached
from consult.core.design import How
from consult.models import BOOKED_STATES, Consultation, State

TYPE = "text/calendar"
LASTS = timedelta(minutes=30)  # time to look at the cake and carry it: common practice, no source

_STANDING = {
    State.CANCELLED: "CANCELLED",
    State.DECLINED: "CANCELLED",
    State.HANDED_OVER: "CONFIRMED",
    **dict.fromkeys(BOOKED_STATES, "CONFIRMED"),
}


def hand_over_file(consultation: Consultation) -> bytes | None:
    """The hand-over as one event; None while it has no date.

    The UID never changes and SEQUENCE grows with each change, so that a calendar moves the entry it has (RFC 5545,
    3.8.4.7 and 3.8.7.4). No METHOD: it is an entry to keep, not an invitation to answer.
    """
    if consultation.event_on is None:
        return None
    shop = consultation.book().identity
    event = Event()
    event.add("uid", _uid(consultation))
    event.add("dtstamp", consultation.changed_at.astimezone(UTC))
    event.add("last-modified", consultation.changed_at.astimezone(UTC))
    event.add("sequence", consultation.revision)
    event.add("status", _STANDING.get(State(consultation.state), "TENTATIVE"))
    event.add("transp", "OPAQUE")
    if consultation.hand_over_at is None:  # the whole day; DTEND is the day after (3.6.1)
        event.add("dtstart", consultation.event_on)
        event.add("dtend", consultation.event_on + timedelta(days=1))
    else:
        zone = ZoneInfo(shop.time_zone)
        starts = datetime.combine(consultation.event_on, consultation.hand_over_at)
        # By the clock on the wall: adding to an aware time would pass over a change of the clocks.
        event.add("dtstart", starts.replace(tzinfo=zone))
        event.add("dtend", (starts + LASTS).replace(tzinfo=zone))
    delivered = consultation.hand_over_how == How.DELIVERY.value
    event.add("summary", f"{'Delivery' if delivered else 'Collection'} of the cake, {shop.name}")
    place = consultation.place.strip() if delivered else shop.address.strip()
    if place:
        event.add("location", ", ".join(line.strip() for line in place.splitlines()))
    event.add("description", "\n".join(_description(consultation, delivered=delivered)))
    calendar = Calendar()
    calendar.add("prodid", "-//Tierwright//Hand-over//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add_component(event)
    calendar.add_missing_timezones()
    made: bytes = calendar.to_ical()
    return made


def _uid(consultation: Consultation) -> str:
    """The same for all time: of what a consultation has from its first moment and keeps."""
    first = f"{consultation.pk} {consultation.number} {consultation.opened_at.isoformat()}"
    return f"{uuid.uuid5(uuid.NAMESPACE_OID, f'tierwright hand-over {first}')}"


def _description(consultation: Consultation, *, delivered: bool) -> list[str]:
    shop = consultation.book().identity
    lines = [f"Order {consultation.number}."]
    if consultation.hand_over_at is None:
        lines.append("The time is not agreed yet.")
    if not delivered:
        lines.append("Carry it level, on a flat floor in the car, cool and out of the sun.")
    contact = ", ".join(words for words in (shop.phone, shop.email) if words)
    return [*lines, f"{shop.name}: {contact}" if contact else shop.name]


def file_name(consultation: Consultation) -> str:
    return f"hand-over-{consultation.number}.ics"


def attached(consultation: Consultation) -> tuple[Attached, ...]:
    """The file, kept in the store, to attach to a message; empty while there is no date."""
    data = hand_over_file(consultation)
    if data is None:
        return ()
    return (Attached(file_name(consultation), TYPE, store.keep(data)),)


def answer(consultation: Consultation) -> HttpResponse:
    """The file as the answer to whoever may see the consultation. Http404 while there is no date."""
    data = hand_over_file(consultation)
    if data is None:
        raise Http404
    response = HttpResponse(data, content_type=f"{TYPE}; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{file_name(consultation)}"'
    response["Cache-Control"] = "private, no-store"
    response["X-Content-Type-Options"] = "nosniff"
    return response
