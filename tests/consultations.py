"""Consultations for tests, as rows: on the made-up shop of tests.makers, in the trade's words."""

from datetime import date, timedelta
from typing import Any

from django.utils import timezone

from consult.actions.keeping import Seen, note
from consult.core.design import Design
from consult.models import Consultation, DesignRow
from shop.core.book import ShopBook, canonical_json, digest, plain
from shop.models import BookEdition, Person
from tests.makers import make_book, make_design


def make_edition(book: ShopBook | None = None) -> BookEdition:
    book = book or make_book()
    kept, _ = BookEdition.objects.get_or_create(
        digest=digest(book), defaults={"body": canonical_json(book), "made_at": timezone.now()}
    )
    return kept


def make_consultation(
    by: Person,
    *,
    guests: int | None = 80,
    design: Design | None = None,
    book: ShopBook | None = None,
    on: date | None = None,
    **fields: Any,
) -> Consultation:
    """Ann Okafor's anniversary in half a year, three tiers for 80, all answered; `fields` as its row has them."""
    now = timezone.now()
    number = Consultation.objects.count() + 1
    edition = make_edition(book)
    answers = {
        "client_name": "Ann Okafor",
        "client_email": "ann@example.org",
        "occasion": "anniversary",
        "event_on": on or a_saturday(),
        "slice": "dessert",
        "hand_over_at": "14:00",
        **fields,
    }
    row = Consultation.objects.create(
        number=f"2026-{number:04d}",
        edition=edition,
        opened_by=by,
        opened_at=now,
        changed_at=now,
        guests=guests,
        **answers,
    )
    row.refresh_from_db()
    value = make_design() if design is None else design
    DesignRow.objects.create(consultation=row, letter="A", body=plain(value))
    note(row, by=by, what="opened", says="Consultation opened")
    return row


def a_saturday(weeks_ahead: int = 26) -> date:
    """A Saturday about half a year from today, so that notice and bench hours are no matter."""
    day = timezone.localdate() + timedelta(weeks=weeks_ahead)
    return day + timedelta(days=(5 - day.weekday()) % 7)


def seen(row: Consultation, page: str = "page-1") -> Seen:
    return Seen(row.revision, page)


def keys(row: Consultation, *, once: str = "", page: str = "page-1") -> dict[str, Any]:
    """The hidden fields of a step's form."""
    return {"revision": row.revision, "once": once, "page": page}
