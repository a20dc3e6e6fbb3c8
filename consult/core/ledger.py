"""What was charged, what came in, what went back, and what is still to pay by when? The money of one order, in order.

All amounts are shop.core.money.Money: whole minor units of the order's one currency.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from shop.core.money import Money, total


class Kind(StrEnum):
    """What a line of the ledger is; the lines of one day stand in this order."""

    CHARGED = "charged"  # a sheet was signed: its total, or what that differs from the one before
    RECEIVED = "received"
    CANCELLED = "cancelled"  # what is no longer charged, below zero
    BACK = "given back"


@dataclass(frozen=True, slots=True)
class Signed:
    """A signed sheet. What was asked for late is due on the day the request says."""

    revision: int
    on: date
    total: Money
    deposit: Money
    deposit_due: date
    balance_due: date


@dataclass(frozen=True, slots=True)
class Movement:
    """Money that came in or went back, above zero; `void` says why it no longer counts."""

    key: int  # of its row: those of one day stand in the order they were noted
    on: date
    amount: Money
    means: str
    by: str = ""  # who noted it
    why: str = ""
    void: str = ""


@dataclass(frozen=True, slots=True)
class CancelledOn:
    """That the order was cancelled: `kept` is all that is charged from then on, due by `due`."""

    on: date
    kept: Money
    due: date


@dataclass(frozen=True, slots=True)
class Line:
    """One line. `amount` is above zero but for charges that fall; `left` runs: below zero is overpaid."""

    kind: Kind
    on: date
    what: str
    amount: Money
    left: Money
    key: int | None = None  # of the payment or refund
    by: str = ""
    why: str = ""
    void: str = ""

    @property
    def counts(self) -> bool:
        return not self.void


@dataclass(frozen=True, slots=True)
class Due:
    """What is still to pay of one part, by when."""

    what: str  # "deposit", "balance", "kept on cancelling"
    amount: Money
    on: date

    def is_late(self, today: date) -> bool:
        return today > self.on


@dataclass(frozen=True, slots=True)
class Ledger:
    """The money of one order. `charged` = `open` - `over` + `received` - `given_back`, always."""

    currency: str
    lines: tuple[Line, ...]
    dues: tuple[Due, ...]  # what is still open, first due first; they add up to `open`
    deposit: Money  # of the last signed sheet; nothing once the order is cancelled
    is_cancelled: bool = False

    def _sum(self, *kinds: Kind) -> Money:
        return total(
            (line.amount for line in self.lines if line.kind in kinds and line.counts),
            self.currency,
        )

    @property
    def charged(self) -> Money:
        return self._sum(Kind.CHARGED, Kind.CANCELLED)

    @property
    def received(self) -> Money:
        return self._sum(Kind.RECEIVED)

    @property
    def given_back(self) -> Money:
        return self._sum(Kind.BACK)

    @property
    def held(self) -> Money:
        """What came in and did not go back: never below zero, and the most that can be given back."""
        return self.received - self.given_back

    @property
    def left(self) -> Money:
        """Still to pay; below zero where more was received than is charged."""
        return self.charged - self.held

    @property
    def open(self) -> Money:
        return max(self.left, Money.zero(self.currency))

    @property
    def over(self) -> Money:
        """Received beyond what is charged: to be given back, or kept for what a revision adds."""
        return max(-self.left, Money.zero(self.currency))

    @property
    def open_deposit(self) -> Money:
        """What the deposit still lacks."""
        return max(self.deposit - self.held, Money.zero(self.currency))

    @property
    def deposit_is_covered(self) -> bool:
        return any(line.kind is Kind.CHARGED for line in self.lines) and not self.open_deposit

    @property
    def next_due(self) -> date | None:
        return self.dues[0].on if self.dues else None

    def late(self, today: date) -> Money:
        """What should have been paid before today."""
        return total((due.amount for due in self.dues if due.is_late(today)), self.currency)


def ledger_from(
    currency: str,
    *,
    signed: Sequence[Signed] = (),
    payments: Sequence[Movement] = (),
    refunds: Sequence[Movement] = (),
    cancelled: CancelledOn | None = None,
) -> Ledger:
    """The ledger of an order, its lines by day. Every amount is in `currency` (ValueError else).

    Of several signed sheets the last revision's total counts: each later one adds a line with what it
    differs by. A voided payment or refund keeps its line, and counts nowhere.
    """
    entries: list[tuple[date, int, int, Line]] = []
    nothing, order = Money.zero(currency), list(Kind)

    def enter(place: int, line: Line) -> None:
        entries.append((line.on, order.index(line.kind), place, line))

    before, last = nothing, None
    for sheet in sorted(signed, key=lambda one: one.revision):
        words = f"Design sheet, revision {sheet.revision}, signed"
        if last is not None:
            words += f" in place of revision {last.revision}"
        enter(sheet.revision, Line(Kind.CHARGED, sheet.on, words, sheet.total - before, nothing))
        before, last = sheet.total, sheet
    for kind, movements in ((Kind.RECEIVED, payments), (Kind.BACK, refunds)):
        for one in movements:
            words = f"{'Received' if kind is Kind.RECEIVED else 'Given back'} by {one.means}"
            line = Line(
                kind, one.on, words, one.amount, nothing, one.key, one.by, one.why, one.void
            )
            enter(one.key, line)
    if cancelled is not None:
        words = "Order cancelled: what is no longer charged"
        enter(0, Line(Kind.CANCELLED, cancelled.on, words, cancelled.kept - before, nothing))
    lines = _running([line for *_, line in sorted(entries, key=lambda one: one[:3])], nothing)
    deposit = last.deposit if last is not None and cancelled is None else nothing
    bare = Ledger(currency, lines, (), deposit, cancelled is not None)
    return Ledger(currency, lines, _dues(bare, last, cancelled), deposit, cancelled is not None)


def _running(lines: Sequence[Line], left: Money) -> tuple[Line, ...]:
    """The same lines, each with what is left to pay after it."""
    found = []
    for line in lines:
        if line.counts:
            left = left - line.amount if line.kind is Kind.RECEIVED else left + line.amount
        found.append(
            Line(
                line.kind, line.on, line.what, line.amount, left, line.key, line.by, line.why,
                line.void,
            )
        )  # fmt: skip
    return tuple(found)


def _dues(ledger: Ledger, last: Signed | None, cancelled: CancelledOn | None) -> tuple[Due, ...]:
    """What is open, by part. What came in covers the deposit first, then the balance."""
    if cancelled is not None:
        parts = [Due("kept on cancelling", ledger.open, cancelled.due)]
    elif last is not None:
        deposit = min(ledger.open_deposit, ledger.open)
        parts = [
            Due("deposit", deposit, last.deposit_due),
            Due("balance", ledger.open - deposit, max(last.balance_due, last.deposit_due)),
        ]
    else:
        parts = []
    return tuple(due for due in parts if due.amount)
