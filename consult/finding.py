"""What is there? Reads for the pages, each with what it needs in a known number of queries."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import lru_cache

from django.db.models import Case, Exists, OuterRef, Q, QuerySet, Sum, Value, When
from django.shortcuts import get_object_or_404
from django.utils import timezone

from consult.core.design import Brief, Design
from consult.core.own_pieces import with_own
from consult.core.quote import quote_of
from consult.core.reckoning import Reckoning, reckon, settled
from consult.models import BOOKED_STATES, BenchDay, Consultation, Remark, Sheet, State
from shop.core.book import ShopBook
from shop.core.money import Money
from shop.core.policies import OpenHours
from shop.finding import open_hours_now


@dataclass(frozen=True, slots=True)
class AtHand:
    """One consultation with all that a page of it needs."""

    row: Consultation
    book: ShopBook
    brief: Brief
    reckoning: Reckoning
    letters: tuple[str, ...]
    today: date
    booked: Mapping[date, int]

    @property
    def design(self) -> Design:
        return self.brief.design


def bench_minutes_booked(*, but: Consultation | None = None) -> dict[date, int]:
    """Bench minutes taken on each day from today on, but for the consultation given."""
    days = BenchDay.objects.filter(
        on__gte=timezone.localdate(), consultation__state__in=BOOKED_STATES
    )
    if but is not None:
        days = days.exclude(consultation=but)
    return {row["on"]: row["taken"] for row in days.values("on").annotate(taken=Sum("minutes"))}


@dataclass(frozen=True, slots=True)
class Edition:
    """A book told apart by its digest and hours: going through all of it would take longer than some sums."""

    digest: str
    hours: OpenHours
    book: ShopBook = field(compare=False)


@lru_cache(maxsize=128)
def _reckoned(
    edition: Edition, brief: Brief, today: date, booked: tuple[tuple[date, int], ...]
) -> Reckoning:
    """The sums of a page, remembered: a page looked at again, or saved, asks for the same ones."""
    return reckon(brief, edition.book, today, dict(booked))


_on_hours: dict[tuple[str, OpenHours], ShopBook] = {}


def on_these_hours(digest: str, book: ShopBook, hours: OpenHours | None) -> ShopBook:
    """The book of that digest with the hours the shop keeps now: prices stay as quoted, days are as they are.

    The same object for the same digest and hours, so that what was worked out from it is found again.
    """
    if hours is None or hours == book.policies.hours:
        return book
    key = (digest, hours)
    if key not in _on_hours:
        if len(_on_hours) >= 64:
            _on_hours.clear()
        _on_hours[key] = replace(book, policies=replace(book.policies, hours=hours))
    return _on_hours[key]


def consultation_at_hand(pk: int) -> AtHand:
    """The consultation with its chosen design, pictures, prices and sums. Http404 if there is none."""
    row = get_object_or_404(Consultation.objects.select_related("edition"), pk=pk)
    designs = list(row.designs.all())
    chosen = next(design for design in designs if design.letter == row.chosen_letter)
    photos = tuple(photo.as_value() for photo in row.photos.all())
    brief = row.as_brief(replace(chosen.as_value(), photos=photos))
    today = timezone.localdate()
    booked = bench_minutes_booked(but=row)
    book = with_own(on_these_hours(row.edition.digest, row.book(), open_hours_now()), brief.design)
    return AtHand(
        row=row,
        book=book,
        brief=brief,
        reckoning=_reckoned(
            Edition(row.edition.digest, book.policies.hours, book),
            brief,
            today,
            tuple(sorted(booked.items())),
        ),
        letters=tuple(design.letter for design in designs),
        today=today,
        booked=booked,
    )


def total_by(book: ShopBook, at: AtHand) -> Money | None:
    """What the design at hand comes to by another book; None where that book lacks what was chosen."""
    try:
        return quote_of(settled(at.brief), with_own(book, at.design), at.today).total
    except KeyError:
        return None


@dataclass(frozen=True, slots=True)
class Beside:
    """One of a consultation's designs with its own sums, for looking at them side by side."""

    letter: str
    is_chosen: bool
    brief: Brief
    reckoning: Reckoning
    book: ShopBook


def designs_side_by_side(at: AtHand) -> tuple[Beside, ...]:
    """All designs of the consultation at hand, each reckoned."""
    found = []
    for row in at.row.designs.all():
        is_chosen = row.letter == at.row.chosen_letter
        design = replace(row.as_value(), photos=at.design.photos)
        brief = at.brief if is_chosen else at.row.as_brief(design)
        hours = at.book.policies.hours
        book = with_own(on_these_hours(at.row.edition.digest, at.row.book(), hours), brief.design)
        reckoning = at.reckoning if is_chosen else reckon(brief, book, at.today, at.booked)
        found.append(Beside(row.letter, is_chosen, brief, reckoning, book))
    return tuple(found)


def on_the_desk(words: str = "", state: str = "") -> QuerySet[Consultation]:
    """Consultations for the desk list: inquiries first, then last changed first; `words` in number, client, occasion.

    `has_answer` says whether the client said something by private link that nobody has seen to.
    """
    unseen = Remark.objects.filter(consultation=OuterRef("pk"), settled_at=None)
    is_new = Case(When(state=State.INQUIRY, then=Value(0)), default=Value(1))
    rows = Consultation.objects.annotate(has_answer=Exists(unseen))
    rows = rows.order_by(is_new, *Consultation._meta.ordering)
    if words:
        rows = rows.filter(
            Q(number__icontains=words)
            | Q(client_name__icontains=words)
            | Q(occasion__icontains=words)
            | Q(client_email__icontains=words)
        )
    if state:
        rows = rows.filter(state=state)
    else:
        rows = rows.exclude(state__in=(State.DECLINED, State.CANCELLED, State.HANDED_OVER))
    return rows


def sheet_of_revision(consultation: Consultation, revision: int) -> Sheet:
    """One made sheet with its signature and deposit. Http404 if there is none."""
    return get_object_or_404(
        Sheet.objects.select_related("signature", "deposit", "contract"),
        consultation=consultation,
        revision=revision,
    )
