"""Private links: one way in for one client and one purpose. Only the SHA-256 of a link's token is kept."""

import base64
import hashlib
import re
import secrets
from datetime import datetime, time, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction
from django.db.models import F
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils import timezone
from django.utils.crypto import salted_hmac

from consult.actions.keeping import hold, note
from consult.models import (
    Consultation,
    DesignsSent,
    PrivateLink,
    Purpose,
    Sheet,
    Signature,
    State,
)
from shop.models import Person

DAYS = 14  # a link holds so long, unless what it shows ends before
DAYS_AFTER_EVENT = 14  # for what is to pay, as payments come late
USED_EVERY = timedelta(minutes=1)  # how finely the last use is kept


class Standing(StrEnum):
    """Whether a link opens what it was made for, and if not, why."""

    OPEN = "open"
    EXPIRED = "expired"
    REVOKED = "revoked"
    OVERTAKEN = "overtaken"


class Dead(Exception):
    """The link no longer opens anything; nothing was kept."""


def token_digest(token: str) -> str:
    """What is kept of a token. It is 256 random bits, so a plain SHA-256 cannot be tried out."""
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()


def make_link(
    consultation: Consultation,
    purpose: Purpose,
    *,
    by: Person | None,
    sheet: Sheet | None = None,
    designs: DesignsSent | None = None,
    to: str = "",
    days: int | None = None,
) -> str:
    """Make a link and give its token, this once. Must run inside the transaction of what it is sent with."""
    token, now = secrets.token_urlsafe(32), timezone.now()
    link = PrivateLink.objects.create(
        consultation=consultation,
        purpose=purpose,
        token_sha256=token_digest(token),
        sheet=sheet,
        designs=designs,
        to=to,
        made_by=by,
        made_at=now,
        expires_at=_expiry(consultation, purpose, sheet, days, now),
    )
    for_whom = f" for {to}" if to else ""
    note(
        consultation,
        by=by,
        what="link made",
        says=f"Private link made{for_whom}: {Purpose(purpose).label}",
        who_words="" if by else "the shop",
        details={"link": link.pk, "until": link.expires_at.isoformat()},
    )
    return token


def _expiry(
    consultation: Consultation,
    purpose: Purpose,
    sheet: Sheet | None,
    days: int | None,
    now: datetime,
) -> datetime:
    """When a link ends: a sheet's never after the day its quote holds until, by the shop's own clock."""
    ends = now + timedelta(days=DAYS if days is None else days)
    zone = ZoneInfo(consultation.book().identity.time_zone)
    if purpose == Purpose.SHEET and sheet is not None:
        holds_until = datetime.fromisoformat(sheet.body["holds_until"])
        return min(ends, _midnight_after(holds_until, zone))
    if purpose == Purpose.PAY and days is None and consultation.event_on:
        event = datetime.combine(consultation.event_on, time.min)
        return max(ends, _midnight_after(event + timedelta(days=DAYS_AFTER_EVENT), zone))
    return ends


def _midnight_after(day: datetime, zone: ZoneInfo) -> datetime:
    return datetime.combine(day.date() + timedelta(days=1), time.min, zone)


def path_of(token: str) -> str:
    """The path that a token is sent as."""
    return reverse("consult:for_you", args=[token])


def find(token: str) -> PrivateLink | None:
    """The link of a token, whatever its standing. It is looked up by its digest, so no comparison tells anything."""
    rows = PrivateLink.objects.select_related("consultation__edition", "sheet", "designs")
    return rows.filter(token_sha256=token_digest(token)).first()


def standing(link: PrivateLink, now: datetime | None = None) -> Standing:
    """Whether a link opens anything now."""
    if link.revoked_at is not None:
        return Standing.REVOKED
    if (now or timezone.now()) >= link.expires_at:
        return Standing.EXPIRED
    holds = {
        Purpose.DESIGNS: _designs_hold,
        Purpose.SHEET: _sheet_holds,
        Purpose.PAY: _payment_holds,
    }[Purpose(link.purpose)]
    return Standing.OPEN if holds(link) else Standing.OVERTAKEN


def _designs_hold(link: PrivateLink) -> bool:
    """Designs are chosen from until newer ones were sent or something was signed."""
    sent = link.designs
    if sent is None or not link.consultation.is_open:
        return False
    if DesignsSent.objects.filter(consultation=link.consultation, pk__gt=sent.pk).exists():
        return False
    signed = Signature.objects.filter(sheet__consultation=link.consultation)
    return not signed.filter(signed_at__gte=sent.sent_at).exists()


def _sheet_holds(link: PrivateLink) -> bool:
    """A sheet is read and signed until it is overtaken; signed by this link, it is read until the next is signed."""
    row, consultation = link.sheet, link.consultation
    if row is None:
        return False
    signature = Signature.objects.filter(sheet=row).first()
    newer = Sheet.objects.filter(consultation=consultation, revision__gt=row.revision)
    if signature is not None:
        return signature.link_id == link.pk and not newer.filter(signature__isnull=False).exists()
    is_as_made = row.of_revision == consultation.revision and consultation.state == State.QUOTED
    return is_as_made and not newer.exists()


def _payment_holds(link: PrivateLink) -> bool:
    signed = Signature.objects.filter(sheet__consultation=link.consultation)
    return link.consultation.state != State.DECLINED and signed.exists()


def check(link: PrivateLink, purpose: Purpose) -> PrivateLink:
    """The link as it stands now, held until the transaction ends. Dead if it no longer opens that purpose.

    Call it once the consultation is held or changed, inside the transaction of what is done by the link.
    """
    rows = PrivateLink.objects.select_for_update(of=("self",)).select_related(
        "consultation__edition", "sheet", "designs"
    )
    now = rows.filter(pk=link.pk, purpose=purpose).first()
    if now is None or standing(now) is not Standing.OPEN:
        raise Dead
    return now


def check_for_signing(link: PrivateLink, sheet: Sheet) -> None:
    """Dead unless the link was made for this very sheet and is neither revoked nor expired.

    That the sheet itself is not overtaken and not signed is for whoever binds it to keep.
    """
    row = PrivateLink.objects.select_for_update().filter(
        pk=link.pk, purpose=Purpose.SHEET, sheet=sheet, revoked_at=None
    )
    if not row.filter(expires_at__gt=timezone.now()).exists():
        raise Dead


@transaction.atomic
def kill(link: PrivateLink, *, by: Person | None) -> bool:
    """Revoke a link, for good; whether it was not revoked already."""
    hold(link.consultation)
    now = timezone.now()
    if not PrivateLink.objects.filter(pk=link.pk, revoked_at=None).update(revoked_at=now):
        return False
    note(
        Consultation.objects.get(pk=link.consultation_id),
        by=by,
        what="link revoked",
        says=f"Private link revoked: {Purpose(link.purpose).label}",
        details={"link": link.pk},
    )
    link.revoked_at = now
    return True


def note_use(link: PrivateLink) -> None:
    """Keep that a page was opened by this link: first and last, the latter to the minute."""
    now = timezone.now()
    if link.last_used_at is None or now - link.last_used_at >= USED_EVERY:
        PrivateLink.objects.filter(pk=link.pk).update(
            first_used_at=Coalesce(F("first_used_at"), now), last_used_at=now
        )


def keep_until_paid(link: PrivateLink) -> None:
    """A link that was signed with goes on showing what was agreed and what is to pay, as a link to pay would."""
    ends = _expiry(link.consultation, Purpose.PAY, None, None, timezone.now())
    PrivateLink.objects.filter(pk=link.pk, expires_at__lt=ends).update(expires_at=ends)


# --- links in messages ---
#
# A message lies in the database until it is sent and after. So that no link can be read out of it, its path
# is written covered and is uncovered only as the message leaves. The cover is the token under one block of a
# keyed hash that is used once: HMAC-SHA256 is a pseudorandom function (RFC 2104; Bellare 2006).

_COVERED = re.compile(r"/for-you/covered/([A-Za-z0-9_-]{64})/")


def _keystream(nonce: bytes, key: str) -> bytes:
    return salted_hmac("links in messages", nonce, secret=key, algorithm="sha256").digest()


def _either(left: bytes, right: bytes) -> bytes:
    return bytes(a ^ b for a, b in zip(left, right, strict=True))


def covered_path(token: str) -> str:
    """The path of a token as a message holds it: of no use to whoever reads the database."""
    nonce = secrets.token_bytes(16)
    hidden = _either(base64.urlsafe_b64decode(token + "="), _keystream(nonce, settings.SECRET_KEY))
    return f"/for-you/covered/{base64.urlsafe_b64encode(nonce + hidden).decode()}/"


def uncovered(words: str) -> str:
    """A message's words with the paths in it as they must be sent. What is no covered link of ours stays."""

    def shown(found: re.Match[str]) -> str:
        kept = base64.urlsafe_b64decode(found[1])
        for key in (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS):
            plain = _either(kept[16:], _keystream(kept[:16], key))
            token = base64.urlsafe_b64encode(plain).decode().rstrip("=")
            if find(token) is not None:
                return path_of(token)
        return found[0]

    return _COVERED.sub(shown, words)
