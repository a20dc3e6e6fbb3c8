"""How do the papers about money begin, and how do they say what an order came to? Parts they share."""

from datetime import date

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer

from consult.core.money_papers import Letterhead, PaperLine, Sums
from consult.documents import fonts
from consult.documents.paper import (
    BOLD,
    LEAD,
    RIGHT,
    RIGHT_BOLD,
    RIGHT_SMALL,
    SMALL,
    TITLE,
    Rule,
    Running,
    long_date,
    opening,
    said,
    short_date,
)
from consult.documents.tables import beside, ledger

AMOUNT = LEAD.clone("amount", fontName=fonts.SERIF_BOLD, fontSize=36, leading=42)
_GAP = 9 * mm


def letterhead(
    head: Letterhead, title: str, facts: tuple[str, ...], width: float
) -> list[Flowable]:
    """Title and client on the left; the shop, the order and what else is said of the paper on the right."""
    left: list[Flowable] = [said(title, TITLE), Spacer(0, 7), said(head.client_name, BOLD)]
    if head.client_contact:
        left.append(said(head.client_contact, SMALL))
    right: list[Flowable] = [Spacer(0, 4), said(head.shop_name, RIGHT_BOLD)]
    right += [said(words, RIGHT_SMALL) for words in (head.shop_address, head.shop_contact) if words]
    right += [said(words, RIGHT_SMALL) for words in (order_words(head), *facts)]
    return [
        beside(left, right, (width * 0.56, width * 0.44 - _GAP), _GAP),
        Spacer(0, 7),
        Rule(width, thick=1.1, ticks=True),
        Spacer(0, 12),
    ]


def order_words(head: Letterhead) -> str:
    return f"Sheet {head.number}, revision {head.revision}"


def cake_words(head: Letterhead) -> str:
    """ "Cake for anniversary, Saturday, May 15, 2027"."""
    when = long_date(head.event_on, head.locale)
    return f"Cake for {head.occasion}, {when}" if head.occasion else f"Cake for {when}"


def running(head: Letterhead, title: str, number: str = "") -> Running:
    return Running(
        title=title,
        about=head.client_name,
        shop=head.shop_name,
        number=number or order_words(head),
    )


def account(
    lines: tuple[PaperLine, ...], head: Letterhead, width: float, title: str
) -> list[Flowable]:
    """Every line with what was left to pay after it."""
    day, amount = 34 * mm, 30 * mm
    rows: list[list[Flowable]] = [
        [
            said(short_date(line.on, head.locale), SMALL),
            said(line.what),
            said(line.amount.written(head.locale), RIGHT),
            said(line.left.written(head.locale), RIGHT),
        ]
        for line in lines
    ]
    widths = (day, width - day - 2 * amount, amount, amount)
    columns = ("Date", "What", "Amount", "Left to pay")
    table = ledger(rows, widths, columns, right=(2, 3), air=4, whole_rows=True)
    return [*opening(title), table]


def sums_table(sums: Sums, head: Letterhead, width: float) -> Flowable:
    """What was charged, came in and went back, and what that leaves; figures that are nothing left out."""
    figures = [("Charged", sums.charged), ("Received", sums.received)]
    if sums.given_back:
        figures.append(("Given back", sums.given_back))
    rows = [[said(what), said(amount.written(head.locale), RIGHT)] for what, amount in figures]
    last = ("More received than charged", sums.over) if sums.over else ("Still to pay", sums.open)
    rows.append([said(last[0], BOLD), said(last[1].written(head.locale), RIGHT_BOLD)])
    amounts = 34 * mm
    return ledger(rows, (width - amounts, amounts), air=4, ruled_off=len(rows) - 1)


def facts_table(facts: list[tuple[str, str]], width: float) -> Flowable:
    """Labels with their words, those without words left out."""
    label = 34 * mm
    rows = [[said(what, SMALL), said(words, BOLD)] for what, words in facts if words]
    return ledger(rows, (label, width - label), air=4)


def on_day(words: str, on: date, head: Letterhead) -> str:
    return f"{words} {short_date(on, head.locale)}"
