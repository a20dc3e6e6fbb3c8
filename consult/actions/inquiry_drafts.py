"""Keeping an inquiry while it is being filled in: what was typed, and the pictures. Known by a cookie's token alone."""

import hashlib
import secrets

from django.db import transaction
from django.utils import timezone

from consult import store
from consult.actions.sweeping import forget_pictures
from consult.core.palette import palette
from consult.models import InquiryDraft
from consult.photos import BadPhoto, clean, pixels_of
from shop.core.book import plain

MOST_PHOTOS = 6  # our own bound: enough to show a wish


def digest_of(token: str) -> str:
    """What is kept of a token: nobody who reads the database can open a draft."""
    return hashlib.sha256(token.encode()).hexdigest()


def begin_draft() -> tuple[InquiryDraft, str]:
    """A draft with nothing in it, and the token that opens it: 256 bits, given once."""
    token, now = secrets.token_urlsafe(32), timezone.now()
    draft = InquiryDraft.objects.create(
        token_sha256=digest_of(token), started_at=now, changed_at=now
    )
    return draft, token


def keep_answers(draft: InquiryDraft, answers: dict[str, list[str]]) -> None:
    """Keep what was typed, in place of what was. The pictures stay as they are."""
    draft.answers, draft.changed_at = answers, timezone.now()
    InquiryDraft.objects.filter(pk=draft.pk).update(answers=answers, changed_at=draft.changed_at)


def put_in_photo(draft: InquiryDraft, data: bytes) -> None:
    """Keep a picture with the draft: decoded, upright, shrunk, rewritten, with the colours found in it.

    Raises consult.photos.BadPhoto, in words. The same picture twice is one.
    """
    if len(draft.photos) >= MOST_PHOTOS:
        raise no_room()
    picture = clean(data)
    kept = {
        "sha256": store.keep(picture.jpeg),
        "thumbnail": store.keep(picture.thumbnail),
        "width": picture.width,
        "height": picture.height,
        "swatches": [plain(swatch) for swatch in palette(pixels_of(picture.jpeg))],
    }
    with transaction.atomic():
        now = InquiryDraft.objects.select_for_update().get(pk=draft.pk)
        if any(photo["sha256"] == kept["sha256"] for photo in now.photos):
            draft.photos = now.photos
            return
        if len(now.photos) >= MOST_PHOTOS:
            raise no_room()
        draft.photos, draft.changed_at = [*now.photos, kept], timezone.now()
        draft.save(update_fields=["photos", "changed_at"])


def no_room() -> BadPhoto:
    """What is said of the seventh."""
    return BadPhoto(f"There is room for {MOST_PHOTOS} photos. Take one off to add another.")


def take_out_photo(draft: InquiryDraft, sha256: str) -> None:
    """Take a picture out of the draft, and erase it where nothing else holds it."""
    with transaction.atomic():
        now = InquiryDraft.objects.select_for_update().get(pk=draft.pk)
        gone = [photo for photo in now.photos if photo["sha256"] == sha256]
        draft.photos = [photo for photo in now.photos if photo["sha256"] != sha256]
        draft.changed_at = timezone.now()
        draft.save(update_fields=["photos", "changed_at"])
    forget_pictures(photo[part] for photo in gone for part in ("sha256", "thumbnail"))
