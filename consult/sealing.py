"""Is a paper ours and untouched? The shop's own key puts a seal (PAdES) on each contract, and checks it again.

The certificate is made by the shop itself, so the seal proves that a paper is unchanged since the shop made it,
not who the shop is. A seal alone does not see every byte (ISO 32000-2, 12.8: the signature's own place in the file
is left out of its digest), so the SHA-256 of the whole file, kept with the contract, decides.
"""

import hashlib
import hmac
import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from functools import lru_cache
from pathlib import Path
from typing import TypeVar

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import pkcs12
from cryptography.x509.oid import NameOID
from django.conf import settings
from django.utils import timezone

from consult.models import Contract

VALID_FOR = timedelta(days=30 * 365)  # longer than anybody must keep such papers (our judgement)
LONGEST_NAME = (
    64  # characters of a name in a certificate (RFC 5280, appendix A, ub-organization-name)
)
Answer = TypeVar("Answer")


class NoSeal(Exception):
    """The shop's key is there but cannot be opened; the message says what to do."""


@dataclass(frozen=True, slots=True)
class Seal:
    """The shop's key and certificate as they lie on the disk, and the password that opened them."""

    pkcs12: bytes
    password: bytes
    certificate_sha256: str


@dataclass(frozen=True, slots=True)
class Sealed:
    pdf: bytes
    certificate_sha256: str


class Verdict(StrEnum):
    UNTOUCHED = "ours and untouched"
    CHANGED = "ours, but changed"
    NOT_OURS = "not ours"


@dataclass(frozen=True, slots=True)
class Checked:
    """What is true of a paper. `contract` is the row of exactly these bytes, None for any other bytes."""

    verdict: Verdict
    contract: Contract | None
    seal_is_ours: bool
    seal_holds: bool
    says: tuple[str, ...]


def seal_path() -> Path:
    return Path(settings.DATA) / "seal.p12"


def _passwords() -> list[bytes]:
    """Derived from the shop's secret keys, the newest first, so that a change of key loses no seal."""
    keys = [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]
    return [
        hmac.new(str(key).encode(), b"tierwright seal", hashlib.sha256).hexdigest().encode()
        for key in keys
    ]


def the_seal(shop_name: str) -> Seal:
    """The shop's key and certificate; made the first time they are needed."""
    path = seal_path()
    try:
        kept = path.read_bytes()
    except FileNotFoundError:
        kept = _made(path, shop_name)
    return _opened(kept, tuple(_passwords()))


@lru_cache(maxsize=4)
def _opened(kept: bytes, passwords: tuple[bytes, ...]) -> Seal:
    for password in passwords:
        try:
            _, certificate, _ = pkcs12.load_key_and_certificates(kept, password)
        except ValueError:
            continue
        if certificate is not None:
            return Seal(kept, password, certificate.fingerprint(hashes.SHA256()).hex())
    raise NoSeal(
        f"The shop's seal {seal_path()} cannot be opened: the secret key is another than when it was made. "
        "Put the old key into SHOP_SECRET_KEY_BEFORE, or move the file away and a new seal is made."
    )


def _made(path: Path, shop_name: str) -> bytes:
    """A new key on P-256 (FIPS 186-5) with its certificate, for its owner's eyes only.

    Written aside and linked into place, so that two signatures at once agree on one seal.
    """
    made = _new_pkcs12(shop_name, timezone.now(), _passwords()[0])
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    aside = path.with_name(f"{path.name}.{os.getpid()}.{os.urandom(4).hex()}")
    with os.fdopen(os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(made)
        file.flush()
        os.fsync(file.fileno())
    try:
        os.link(aside, path)
    except FileExistsError:
        made = path.read_bytes()
    finally:
        aside.unlink()
    return made


def _new_pkcs12(shop_name: str, now: datetime, password: bytes) -> bytes:
    key = ec.generate_private_key(ec.SECP256R1())
    number = x509.random_serial_number()
    shop = " ".join(shop_name.split()) or "Cake shop"
    name = x509.Name(  # the serial makes the subject unique, so that two of one shop are never mixed up
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, shop[:LONGEST_NAME]),
            x509.NameAttribute(
                NameOID.COMMON_NAME, f"{shop[:30]} papers {number:x}"[:LONGEST_NAME]
            ),
        ]
    )
    usage = dict.fromkeys(
        (
            *("digital_signature", "content_commitment", "key_encipherment", "data_encipherment"),
            *("key_agreement", "key_cert_sign", "crl_sign", "encipher_only", "decipher_only"),
        ),
        False,
    )
    usage |= {"digital_signature": True, "content_commitment": True}
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(number)
        .not_valid_before(now - timedelta(minutes=5))  # clocks of readers differ
        .not_valid_after(now + VALID_FOR)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.KeyUsage(**usage), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    encryption = serialization.BestAvailableEncryption(password)
    return pkcs12.serialize_key_and_certificates(b"seal", key, certificate, None, encryption)


def apart(work: Callable[[], Answer]) -> Answer:
    """pyHanko runs an event loop of its own, which a thread that has one already refuses."""
    with ThreadPoolExecutor(1) as alone:
        return alone.submit(work).result()


def sealed(pdf: bytes, shop_name: str) -> Sealed:
    """The paper under the shop's seal, which allows no change at all after it."""
    from consult import (
        pades,
    )  # takes half a second to import, and only signing and checking need it

    seal = the_seal(shop_name)
    done = apart(lambda: pades.sealed(pdf, seal.pkcs12, seal.password, shop_name))
    return Sealed(done, seal.certificate_sha256)


def check(pdf: bytes) -> Checked:
    """What is true of these bytes: ours or not, untouched or not. Nothing of them is kept."""
    from consult import (
        pades,
    )  # takes half a second to import, and only signing and checking need it

    digest = hashlib.sha256(pdf).hexdigest()
    kept = Contract.objects.filter(pdf_sha256=digest).select_related("sheet__consultation").first()
    found = apart(lambda: pades.found(pdf))
    is_ours = found is not None and (
        Contract.objects.filter(certificate_sha256=found.certificate_sha256).exists()
    )
    holds = is_ours and found is not None and found.holds
    if kept is not None:
        return Checked(Verdict.UNTOUCHED, kept, is_ours, holds, _untouched(kept))
    if is_ours:
        return Checked(Verdict.CHANGED, None, is_ours, holds, _changed(holds))
    return Checked(Verdict.NOT_OURS, None, is_ours, holds, _not_ours(found is not None))


def _untouched(kept: Contract) -> tuple[str, ...]:
    sheet = kept.sheet
    later = sheet.consultation.sheets.filter(
        revision__gt=sheet.revision, signature__isnull=False
    ).order_by("-revision")
    newest = later.first()
    says = [
        f"This is the contract on sheet {sheet.body['number']}, revision {sheet.revision}, as we made it on "
        f"{kept.made_at:%d %B %Y}. Not one byte of it has changed since.",
    ]
    if newest is not None:
        says.append(
            f"A later revision was signed since: revision {newest.revision} is the one that holds."
        )
    return tuple(says)


def _changed(holds: bool) -> tuple[str, ...]:
    if holds:
        return (
            "It carries our seal, and the seal by itself holds, but we keep no contract with exactly these bytes.",
            "At least one byte differs from the paper we made. Ask us for the paper as we keep it.",
        )
    return (
        "It carries our seal, and the seal is broken: the paper was changed after we made it.",
        "Do not rely on what it says. Ask us for the paper as we keep it.",
    )


def _not_ours(has_a_seal: bool) -> tuple[str, ...]:
    if not has_a_seal:
        return (
            "We find no seal of ours in it. Only contracts carry one; the other papers do not.",
            "A contract that was printed and scanned, or saved anew by another program, has lost its seal too.",
        )
    return ("It carries a seal, but not the seal of this shop.",)
