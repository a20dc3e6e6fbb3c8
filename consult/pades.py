"""How does a seal get onto a PDF, and does one hold? PAdES (ETSI EN 319 142-1), by pyHanko."""

import hashlib
import io
from dataclasses import dataclass

from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign import signers
from pyhanko.sign.fields import MDPPerm, SigSeedSubFilter
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko.sign.validation.status import SignatureCoverageLevel
from pyhanko_certvalidator import ValidationContext

FIELD = "Seal"


@dataclass(frozen=True, slots=True)
class Found:
    """The one seal of a paper, and whether it holds by itself over the whole file."""

    certificate_sha256: str
    holds: bool


def sealed(pdf: bytes, pkcs12: bytes, password: bytes, name: str) -> bytes:
    """The paper with a seal added at its end, which allows no change after it (ISO 32000-2, 12.8.2.2: P = 1)."""
    signer = signers.SimpleSigner.load_pkcs12_data(pkcs12, (), password)
    if signer is None:
        raise ValueError("The key cannot be read.")
    about = signers.PdfSignatureMetadata(
        field_name=FIELD,
        name=name or None,
        reason="Unchanged since it was signed",
        md_algorithm="sha256",
        subfilter=SigSeedSubFilter.PADES,
        certify=True,
        docmdp_permissions=MDPPerm.NO_CHANGES,
    )
    writer = IncrementalPdfFileWriter(io.BytesIO(pdf))
    done: bytes = signers.sign_pdf(writer, about, signer=signer).getvalue()
    return done


def found(pdf: bytes) -> Found | None:
    """The seal of a paper; None where there is none, several, or none that can be read."""
    try:
        seals = PdfFileReader(io.BytesIO(pdf)).embedded_signatures
        if len(seals) != 1:
            return None
        certificate = seals[0].signer_cert
        digest = hashlib.sha256(certificate.dump()).hexdigest()
    except Exception:  # damaged files raise errors of a dozen kinds, AssertionError among them
        return None
    try:
        roots = ValidationContext(trust_roots=[certificate], allow_fetching=False)
        status = validate_pdf_signature(seals[0], roots)
        whole = status.coverage == SignatureCoverageLevel.ENTIRE_FILE
        return Found(digest, bool(status.bottom_line) and whole)
    except Exception:  # as above
        return Found(digest, False)
