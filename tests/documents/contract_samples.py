"""A sample contract for the papers' tests: the anniversary cake, signed by private link, with a full agreement."""

import hashlib
from dataclasses import replace
from datetime import date
from decimal import Decimal

from consult.core.agreed import agreed_of
from consult.core.contract import Contract, Evidence, means_words, photo_words
from consult.core.sheet import DesignSheet, SignatureMark
from shop.core.policies import Agreement, CancelStep
from tests.documents.samples import FINGERPRINT, three_tiers

HEAD = hashlib.sha256(b"the last line of a record").hexdigest()
AGREEMENT = Agreement(
    cancelling=(
        CancelStep(60, Decimal("0.1")),
        CancelStep(30, Decimal("0.25")),
        CancelStep(14, Decimal("0.5")),
        CancelStep(7, Decimal(1)),
    ),
    risk_words="From the moment of hand-over the cake is in your care.",
    photo_words="May we show photographs of your cake in our window?",
    withdrawal_words="This cake is made to your wishes.\n\nSo there is no right to withdraw.",
)
MARK = SignatureMark(
    name="Adaeze Tamm",
    signed_at="03 March 2027, 18:12 (UTC+01:00)",
    strokes=(((0.1, 0.6), (0.25, 0.2), (0.4, 0.7)), ((0.5, 0.5), (0.7, 0.3), (0.9, 0.6))),
    witness="",
    how="drawn by private link",
)
EVIDENCE = Evidence(
    consent="I have read this sheet and I mean to sign it.",
    consent_version="3",
    terms_version="4",
    signed_at_utc="2027-03-03T17:12:09+00:00",
    signed_at_local="03 March 2027, 18:12 (UTC+01:00)",
    means=means_words(typed=False, witness="", by_link=True, sent_to="adaeze@example.org"),
    witness="",
    address="198.51.100.7",
    browser="Mozilla/5.0 (Linux; Android 15; Mobile) Gecko/140.0 Firefox/140.0",
    record_lines=14,
    record_head=HEAD,
    where_to_check="https://quillbrook.example/check-a-paper/",
)


def agreed_sheet(agreement: Agreement = AGREEMENT, **changes: object) -> DesignSheet:
    """The sheet with what is agreed beside the cake worked out for its own total and date."""
    sheet = three_tiers(quoted_on=date(2027, 2, 20), **changes)
    agreed = agreed_of(
        agreement,
        total=sheet.total,
        deposit=sheet.deposit,
        hand_over=sheet.event_on,
        quoted_on=sheet.quoted_on,
        locale=sheet.locale,
    )
    return replace(sheet, agreed=agreed)


def signed_contract(**changes: object) -> Contract:
    return Contract(
        sheet=agreed_sheet(**changes),
        fingerprint=FINGERPRINT,
        mark=MARK,
        photo_permission=photo_words(False),
        evidence=EVIDENCE,
    )
