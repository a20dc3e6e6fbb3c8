"""What do the papers about money say? A request for the balance, a receipt, the statement of a cancelled order.

Every amount comes from the ledger: a paper holds its lines and sums as they stood when it was made.
"""

from dataclasses import dataclass
from datetime import date

from consult.core.cancelling import Cancelling
from consult.core.deposit import creditor_reference, epc_payload, epc_problems
from consult.core.ledger import Kind, Ledger, Line
from shop.core.money import Money
from shop.core.payment_link import payment_link
from shop.core.policies import Identity, Paper


@dataclass(frozen=True, slots=True)
class Letterhead:
    """Who writes to whom, about which order."""

    number: str
    revision: int
    shop_name: str
    shop_address: str
    shop_contact: str
    client_name: str
    client_contact: str
    occasion: str
    event_on: date
    paper: Paper
    locale: str


@dataclass(frozen=True, slots=True)
class HowToPay:
    """By what reference and how an amount is paid. `epc_payload` is "" unless in euros with an account."""

    reference: str  # ISO 11649
    account_name: str
    iban: str
    bic: str
    how_to_pay: str  # the owner's own words
    epc_payload: str
    link: str  # of any provider, https only; "" for none


@dataclass(frozen=True, slots=True)
class PaperLine:
    """One line of the ledger; `amount` is signed: what came in is below zero. `left` runs."""

    on: date
    what: str
    amount: Money
    left: Money


@dataclass(frozen=True, slots=True)
class Sums:
    """`open` - `over` = `charged` - `received` + `given_back`."""

    charged: Money
    received: Money
    given_back: Money
    open: Money
    over: Money


@dataclass(frozen=True, slots=True)
class BalanceRequest:
    """What is still to pay, by when, how, and how it came about. `amount` is the ledger's open sum."""

    head: Letterhead
    asked_on: date
    amount: Money
    due: date
    lines: tuple[PaperLine, ...]
    sums: Sums
    pay: HowToPay


@dataclass(frozen=True, slots=True)
class ReceiptPaper:
    """That one payment came in, or one refund went out, and what that leaves."""

    head: Letterhead
    receipt: str  # its number, "R-2027-0142-1"
    is_refund: bool
    amount: Money
    on: date
    means: str
    why: str  # of a refund
    noted_by: str
    made_on: date
    sums: Sums


@dataclass(frozen=True, slots=True)
class CancellationStatement:
    """What cancelling the order came to, with its working; refunds are noted against it afterwards."""

    head: Letterhead
    made_on: date
    why: str
    cancelling: Cancelling
    lines: tuple[PaperLine, ...]
    sums: Sums
    pay: HowToPay | None  # only where something is still to pay


def how_to_pay(identity: Identity, number: str, amount: Money) -> HowToPay:
    """Reference, account, code and link for paying `amount` of the order with that number.

    A payment code only for euros with an account that EPC069-12 accepts.
    """
    reference = creditor_reference(number)
    name, payload = identity.account_name or identity.name, ""
    account = (name, identity.iban, amount)
    if identity.iban and not epc_problems(*account, reference=reference, bic=identity.bic):
        payload = epc_payload(*account, reference=reference, bic=identity.bic)
    return HowToPay(
        reference=reference,
        account_name=name if identity.iban else "",
        iban=identity.iban,
        bic=identity.bic,
        how_to_pay=identity.how_to_pay,
        epc_payload=payload,
        link=payment_link(identity.payment_link, amount, reference),
    )


def sums_of(ledger: Ledger) -> Sums:
    """The ledger's sums, to be kept with a paper."""
    return Sums(ledger.charged, ledger.received, ledger.given_back, ledger.open, ledger.over)


def paper_lines(ledger: Ledger) -> tuple[PaperLine, ...]:
    """The lines a client reads: what was voided is the shop's own slip and left out."""
    return tuple(
        PaperLine(line.on, line.what, _signed(line), line.left)
        for line in ledger.lines
        if line.counts
    )


def _signed(line: Line) -> Money:
    return -line.amount if line.kind is Kind.RECEIVED else line.amount


def balance_request_of(
    head: Letterhead, ledger: Ledger, identity: Identity, asked_on: date
) -> BalanceRequest:
    """A request for all that is open. It is due when the last part of it is, at the earliest the day it is asked.

    Raises ValueError when nothing is open.
    """
    if not ledger.open:
        raise ValueError("Nothing is open, so nothing can be asked for.")
    return BalanceRequest(
        head=head,
        asked_on=asked_on,
        amount=ledger.open,
        due=max(ledger.dues[-1].on, asked_on),
        lines=paper_lines(ledger),
        sums=sums_of(ledger),
        pay=how_to_pay(identity, head.number, ledger.open),
    )
