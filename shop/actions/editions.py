"""Keep what the shop offers at this moment, so that a client's quote can point at it for good."""

from django.db import transaction
from django.utils import timezone

from shop.core.book import canonical_json, digest
from shop.models import BookEdition, current_book


@transaction.atomic
def edition_of_today() -> BookEdition:
    """The edition that says what the shop offers now; a new row only where something has changed."""
    book = current_book()
    edition, _ = BookEdition.objects.get_or_create(
        digest=digest(book), defaults={"body": canonical_json(book), "made_at": timezone.now()}
    )
    return edition
