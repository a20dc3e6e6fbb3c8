"""What is due: which orders still owe what, overdue first, and to whom the shop owes money."""

from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from consult.actions.money import ledger_of_row, with_money
from consult.models import Consultation, State
from shop.core.money import Money, total

WEEK = timedelta(days=7)
WHEN = {
    "late": "Overdue",
    "week": "In the next seven days",
    "later": "Later",
    "back": "To give back",
}


@dataclass(frozen=True, slots=True)
class Owed:
    """One amount that is due, with the order it is due for."""

    row: Consultation
    what: str
    amount: Money
    on: date | None
    when: str  # a key of WHEN
    days: int  # late, or still to go
    locale: str


@dataclass(frozen=True, slots=True)
class Group:
    title: str
    owed: tuple[Owed, ...]
    sums: tuple[str, ...]  # one for each currency, written


def what_is_due(today: date, words: str = "") -> list[Owed]:
    """Every open part of every signed order, and what is to be given back; first due first. Four queries."""
    rows = Consultation.objects.filter(sheets__signature__isnull=False).exclude(
        state=State.DECLINED
    )
    if words:
        rows = rows.filter(
            Q(number__icontains=words)
            | Q(client_name__icontains=words)
            | Q(occasion__icontains=words)
        )
    owed = []
    for row in with_money(rows.distinct()):
        ledger, locale = ledger_of_row(row), row.book().identity.locale
        for due in ledger.dues:
            days = (due.on - today).days
            when = "late" if days < 0 else "week" if due.on <= today + WEEK else "later"
            owed.append(Owed(row, due.what, due.amount, due.on, when, abs(days), locale))
        if ledger.over:
            owed.append(Owed(row, "to give back", ledger.over, None, "back", 0, locale))
    return sorted(owed, key=lambda one: (one.on or date.max, one.row.pk))


def grouped(owed: list[Owed]) -> list[Group]:
    """By when it is due; each with its sum."""
    groups = []
    for when, title in WHEN.items():
        mine = tuple(one for one in owed if one.when == when)
        if not mine:
            continue
        currencies = sorted({one.amount.currency for one in mine})
        sums = tuple(
            total(
                (one.amount for one in mine if one.amount.currency == currency), currency
            ).written(mine[0].locale)
            for currency in currencies
        )
        groups.append(Group(title, mine, sums))
    return groups


@require_safe
def page(request: HttpRequest) -> HttpResponse:
    """The desk's list of what is due."""
    words = request.GET.get("q", "").replace("\0", "").strip()[:100]
    when = request.GET.get("when", "")
    owed = what_is_due(timezone.localdate(), words)
    shown = [one for one in owed if one.when == when] if when in WHEN else owed
    context = {
        "groups": grouped(shown),
        "words": words,
        "when": when,
        "whens": WHEN.items(),
        "here": "money_due",
    }
    return render(request, "consult/money_due.html", context)
