"""Adding, captioning and taking off the client's pictures. The bytes are made anew before any row is written."""

from django.db import transaction
from django.utils import timezone

from consult import store
from consult.actions.keeping import Seen, hold, move_on
from consult.core.palette import palette
from consult.models import Consultation, Photo
from consult.photos import BadPhoto, clean, pixels_of
from shop.core.book import plain
from shop.models import Person

MOST_PHOTOS = 12  # our own bound: more pictures than this make a sheet nobody reads


def add_photo(consultation: Consultation, *, by: Person, seen: Seen | None, data: bytes) -> Photo:
    """Keep a picture: decoded, upright, shrunk, rewritten, with the colours found in it.

    Raises consult.photos.BadPhoto, in words, for what is no picture we can read.
    """
    picture = clean(data)
    swatches = [plain(swatch) for swatch in palette(pixels_of(picture.jpeg))]
    sha256 = store.keep(picture.jpeg)
    thumbnail = store.keep(picture.thumbnail)
    with transaction.atomic():
        hold(consultation)
        already = consultation.photos.filter(sha256=sha256).first()
        if already:
            return already
        if consultation.photos.count() >= MOST_PHOTOS:
            raise BadPhoto(f"There is room for {MOST_PHOTOS} pictures.")
        move_on(
            consultation,
            by=by,
            seen=seen,
            what="photo added",
            says="Picture added",
            details={"sha256": sha256},
        )
        return Photo.objects.create(
            consultation=consultation,
            sha256=sha256,
            thumbnail_sha256=thumbnail,
            width=picture.width,
            height=picture.height,
            swatches=swatches,
            added_at=timezone.now(),
        )


@transaction.atomic
def caption_photos(
    consultation: Consultation, *, by: Person, seen: Seen, captions: dict[int, str]
) -> None:
    """Keep the captions, by the photo's row."""
    kept = dict(consultation.photos.values_list("pk", "caption"))
    changed = {pk: caption for pk, caption in captions.items() if kept.get(pk, caption) != caption}
    if not changed:
        return
    says = f"Captions of pictures: {', '.join(changed.values())}"
    move_on(consultation, by=by, seen=seen, what="captions", says=says)
    for pk, caption in changed.items():
        consultation.photos.filter(pk=pk).update(caption=caption)


@transaction.atomic
def take_off_photo(consultation: Consultation, *, by: Person, seen: Seen, photo: Photo) -> None:
    """Take a picture off the consultation. Its bytes stay where a signed sheet shows them."""
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="photo taken off",
        says=f"Picture taken off: {photo.caption or 'no caption'}",
        details={"sha256": photo.sha256},
    )
    photo.delete()
