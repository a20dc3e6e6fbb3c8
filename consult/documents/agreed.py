"""How does a paper set out what is agreed beside the cake, and what changed since the revision signed before?"""

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer

from consult.core.agreed import Agreed, CancelLine
from consult.core.sheet import DesignSheet
from consult.documents.paper import (
    BOLD,
    CLOSE,
    CLOSE_LIST,
    RIGHT,
    RIGHT_BOLD,
    SMALL,
    heading,
    listed,
    opening,
    said,
    short_date,
)
from consult.documents.tables import barred, ledger


def changed_parts(sheet: DesignSheet, width: float) -> list[Flowable]:
    """What changed since the revision signed before; nothing on a first sheet."""
    if not sheet.changed_from:
        return []
    head = heading(f"Changed since revision {sheet.changed_from}")
    if not sheet.changes:
        return [*head, said("Nothing that you see or pay has changed.")]
    return [*head, Spacer(0, 2), barred([*listed(sheet.changes, CLOSE_LIST)], width)]


def agreed_parts(sheet: DesignSheet, width: float, photo_answer: str = "") -> list[Flowable]:
    """Cancelling, changes, risk, withdrawal and photos. `photo_answer` is what the signer said."""
    agreed = sheet.agreed
    if agreed is None:
        return []
    return [
        *_cancelling(agreed, sheet, width),
        *_changing(agreed),
        *_text("From hand-over on", agreed.risk_words),
        *_text("Withdrawing", agreed.withdrawal_words),
        *_photos(agreed, photo_answer),
    ]


def _cancelling(agreed: Agreed, sheet: DesignSheet, width: float) -> list[Flowable]:
    if not agreed.cancelling:
        return [KeepTogether([*heading("If you cancel"), said(agreed.cancelling_words)])]
    share, money = 22 * mm, 33 * mm
    rows = [_row(line, sheet) for line in agreed.cancelling]
    table = ledger(
        rows, (width - share - 2 * money, share, money, money),
        head=("Your notice reaches us", "Of the total", "You pay", "Of the deposit, back"),
        right=(1, 2, 3), air=2.2,
    )  # fmt: skip
    about = said(agreed.cancelling_words, SMALL)
    return [KeepTogether([*heading("If you cancel"), table, Spacer(0, 4), about])]


def _row(line: CancelLine, sheet: DesignSheet) -> list[list[Flowable] | Flowable]:
    notice: list[Flowable] = [said(line.notice, CLOSE)]
    if line.until is not None:
        notice.append(said(f"until {short_date(line.until, sheet.locale)}", SMALL))
    return [
        notice,
        said(line.share_words, RIGHT),
        said(line.costs.written(sheet.locale), RIGHT_BOLD),
        said(line.back.written(sheet.locale), RIGHT),
    ]


def _changing(agreed: Agreed) -> list[Flowable]:
    words = (agreed.changes_words, agreed.count_words)
    return [KeepTogether([*heading("Changes"), *listed([one for one in words if one], CLOSE_LIST)])]


def _text(title: str, words: str) -> list[Flowable]:
    """A text of the shop's own, paragraph by paragraph."""
    parts = [part.strip() for part in words.split("\n\n") if part.strip()]
    return [*opening(title), *(said(part, CLOSE) for part in parts)] if parts else []


def _photos(agreed: Agreed, answer: str) -> list[Flowable]:
    if not agreed.photo_words and not answer:
        return []
    about = "A choice of its own: the order does not depend on it."
    parts: list[Flowable] = [*heading("Photographs of the cake")]
    if agreed.photo_words:
        parts.append(said(agreed.photo_words, CLOSE))
    if answer:
        parts.append(said(f"Showing photographs of the cake: {answer}.", BOLD))
    return [
        KeepTogether([*parts, said(about if answer else f"{about} Asked when you sign.", SMALL)])
    ]
