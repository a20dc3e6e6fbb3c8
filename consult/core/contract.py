"""What is the contract? The signed sheet with its terms, the mark, and the evidence of how it was signed."""

from dataclasses import dataclass

from consult.core.sheet import DesignSheet, SignatureMark

PHOTOS_ALLOWED = "allowed"
PHOTOS_NOT_ALLOWED = "not allowed"
PHOTOS_NOT_ASKED = "not answered, so not allowed"


@dataclass(frozen=True, slots=True)
class Evidence:
    """How, when and by whose hand a sheet was signed, as it was noted at that moment."""

    consent: str
    consent_version: str
    terms_version: str
    signed_at_utc: str  # ISO 8601
    signed_at_local: str  # in words, with its distance from UTC
    means: str  # a sentence: on the shop's tablet, by a private link ...
    witness: str  # "" where nobody of the shop was by
    address: str  # of the device, "" where it is not known
    browser: str
    record_lines: int  # lines in the consultation's record before the signature
    record_head: str  # the hash of the last of them, 64 hex digits
    where_to_check: str  # the shop's page that checks a paper, "" where it has no address yet


@dataclass(frozen=True, slots=True)
class Contract:
    """One paper for both sides. The same values give the same bytes; the seal is put on afterwards."""

    sheet: DesignSheet
    fingerprint: str  # SHA-256 of the sheet's canonical JSON: what was shown and signed
    mark: SignatureMark
    photo_permission: str
    evidence: Evidence


def photo_words(permission: bool | None) -> str:
    """What the client said to the question on photos, in words; no answer allows nothing."""
    if permission is None:
        return PHOTOS_NOT_ASKED
    return PHOTOS_ALLOWED if permission else PHOTOS_NOT_ALLOWED


def means_words(*, typed: bool, witness: str, by_link: bool, sent_to: str = "") -> str:
    """By what means it was signed, as a sentence."""
    mark = "Name typed" if typed else "Mark drawn by hand on a screen"
    if by_link:
        to = f" that was sent to {sent_to}" if sent_to else ""
        return f"{mark}, on a device of the client's own, by a private link{to}."
    if witness:
        return f"{mark}, on the shop's tablet at the counter, in the presence of {witness}."
    return f"{mark}."
