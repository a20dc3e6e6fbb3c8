"""What did both sides agree, and how can that be shown later? The contract: parties, sheet, terms, mark, evidence."""

from collections.abc import Mapping

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, PageBreak, Spacer

from consult.core.contract import Contract, Evidence
from consult.core.sheet import DesignSheet
from consult.documents.agreed import agreed_parts, changed_parts
from consult.documents.design_sheet import sheet_parts, terms_and_agreement
from consult.documents.paper import (
    BODY,
    BOLD,
    CLOSE,
    LEAD,
    SMALL,
    TITLE,
    Rule,
    Running,
    column_width,
    heading,
    listed,
    long_date,
    page_room,
    printed,
    said,
    short_date,
)
from consult.documents.tables import beside, ledger

_GAP = 9 * mm
_LABEL = 42 * mm

HOW_TO_CHECK = (
    "This paper carries the seal of the shop: a digital signature (PAdES) over the whole file. A reader of PDF files"
    " that shows signatures says so, and says it when a single word was changed afterwards.",
    "The seal is the shop's own, made by itself. It proves that the paper is unchanged since the shop made it, not who"
    " the shop is; a reader may therefore call its issuer unknown.",
    "Both sides have the same file. Its SHA-256 is kept with the order, so the two copies can be compared byte by"
    " byte.",
)


def contract(value: Contract, photos: Mapping[str, bytes]) -> bytes:
    """The contract as a PDF, not sealed yet. `photos` holds JPEG bytes by SHA-256."""
    sheet = value.sheet
    width = column_width(sheet.paper)
    head = _head(sheet, width)
    room = page_room(sheet.paper) - sum(float(one.wrap(width, 10_000)[1]) for one in head) - 2
    changed = changed_parts(sheet, width)
    if changed:
        room = page_room(sheet.paper)  # the cake then begins where it finds room
    story: list[Flowable] = [
        *head,
        *changed,
        *sheet_parts(sheet, photos, width, room),
        *agreed_parts(sheet, width, value.photo_permission),
        *terms_and_agreement(sheet, value.mark, width),
        PageBreak(),
        *_evidence(value, width),
    ]
    running = Running(
        title="Contract",
        about=f"{sheet.client_name}, {sheet.occasion}" if sheet.occasion else sheet.client_name,
        shop=sheet.shop_name,
        number=f"Contract {sheet.number}, revision {sheet.revision}",
        fingerprint=f"of the design sheet {value.fingerprint}",
    )
    subject = f"{sheet.occasion}, {sheet.event_on.isoformat()}, {sheet.guests} guests"
    return printed(
        story, paper=sheet.paper, locale=sheet.locale, subject=subject, running=running
    )  # fmt: skip


def _head(sheet: DesignSheet, width: float) -> list[Flowable]:
    """The parties side by side, and what it is about."""
    half = (width - _GAP) / 2
    occasion = f"Cake for {sheet.occasion}, " if sheet.occasion else "Cake for "
    shop = [said("The shop", SMALL), said(sheet.shop_name, BOLD)]
    shop += [said(words, CLOSE) for words in (sheet.shop_address, sheet.shop_contact) if words]
    client = [said("The client", SMALL), said(sheet.client_name, BOLD)]
    client += [said(words, CLOSE) for words in (sheet.client_contact,) if words]
    quoted = short_date(sheet.quoted_on, sheet.locale)
    number = f"Design sheet {sheet.number}, revision {sheet.revision}, quoted {quoted}"
    return [
        said("Contract", TITLE),
        Spacer(0, 5),
        said(
            f"{occasion}{long_date(sheet.event_on, sheet.locale)}, {sheet.guests} guests", LEAD
        ),
        said(number, SMALL),
        Spacer(0, 6),
        beside(shop, client, (half, half), _GAP),
        Spacer(0, 7),
        Rule(width, thick=1.1, ticks=True),
        Spacer(0, 9),
    ]  # fmt: skip


def _evidence(value: Contract, width: float) -> list[Flowable]:
    """The page that says how it was signed, and how the paper is checked."""
    evidence = value.evidence
    return [
        said("How this was signed", TITLE.clone("evidence", fontSize=19, leading=23, role="H2")),
        Spacer(0, 8),
        *_facts(_who_and_when(value), width),
        *heading(f"What was agreed to, consent text version {evidence.consent_version}"),
        said(evidence.consent, BODY),
        *heading("What was shown"),
        *_facts(_what(value), width),
        *heading("How to check this paper"),
        *listed((*HOW_TO_CHECK, *_where(evidence))),
    ]


def _facts(facts: list[tuple[str, str]], width: float) -> list[Flowable]:
    rows = [[said(label, SMALL), said(words, BODY)] for label, words in facts if words]
    return [ledger(rows, (_LABEL, width - _LABEL), air=2.6)]


def _who_and_when(value: Contract) -> list[tuple[str, str]]:
    evidence = value.evidence
    return [
        ("Signed by", value.mark.name),
        ("When, the shop's clock", evidence.signed_at_local),
        ("When, UTC", evidence.signed_at_utc),
        ("By what means", evidence.means),
        ("Witness", evidence.witness or "none"),
        ("Address of the device", evidence.address or "not known"),
        ("Browser", evidence.browser or "not known"),
        ("Photographs of the cake", value.photo_permission),
    ]  # fmt: skip


def _what(value: Contract) -> list[tuple[str, str]]:
    sheet, evidence = value.sheet, value.evidence
    lines = "1 line" if evidence.record_lines == 1 else f"{evidence.record_lines} lines"
    return [
        ("Design sheet", f"{sheet.number}, revision {sheet.revision}"),
        ("Fingerprint of all it says", _broken(value.fingerprint)),
        ("Terms", f"version {evidence.terms_version}"),
        ("Record before it", f"{lines}, ending in {_broken(evidence.record_head)}"),
    ]


def _broken(digest: str) -> str:
    """A long digest in blocks, so that it may be set over two lines and read out."""
    return " ".join(digest[at : at + 8] for at in range(0, len(digest), 8))


def _where(evidence: Evidence) -> tuple[str, ...]:
    if not evidence.where_to_check:
        return ("The shop can check the file for you.",)
    return (f"Anybody can check the file, without an account, at {evidence.where_to_check}",)
