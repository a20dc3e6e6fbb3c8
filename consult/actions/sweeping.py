"""What is kept no longer? Drafts that nobody sent, inquiries that led to nothing, and their pictures."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db import connection, transaction
from django.utils import timezone

from consult import store
from consult.models import Consultation, Entry, Inquiry, InquiryDraft, Photo, Sheet, State
from consult.posting.carrying import file_of
from shop.models import Shop
from shop.models.sealed import guard_sql, lifting_sql

DRAFTS_KEPT = timedelta(hours=48)
A_MONTH = timedelta(days=30)  # what is kept for months goes by days, a little early and never late
AT_ONCE = 200  # a round takes no more, so that it holds nobody up for long


def sweep(now: datetime | None = None) -> tuple[int, int]:
    """Erase what has had its time; how many drafts and how many inquiries went."""
    now = now or timezone.now()
    return sweep_drafts(now), sweep_inquiries(now)


def sweep_drafts(now: datetime) -> int:
    """Erase the drafts that nobody touched for two days, with those of their pictures that nothing else holds."""
    old = InquiryDraft.objects.filter(changed_at__lt=now - DRAFTS_KEPT).order_by("pk")[:AT_ONCE]
    swept = 0
    for draft in old:
        gone, _ = InquiryDraft.objects.filter(pk=draft.pk, changed_at=draft.changed_at).delete()
        if gone:
            forget_pictures(_digests(draft.photos))
            swept += 1
    return swept


def forget_draft(draft: InquiryDraft) -> None:
    """Erase a draft because whoever wrote it says so."""
    kept = InquiryDraft.objects.filter(pk=draft.pk).values_list("photos", flat=True).first()
    InquiryDraft.objects.filter(pk=draft.pk).delete()
    forget_pictures(_digests(kept or []))


def sweep_inquiries(now: datetime) -> int:
    """Erase inquiries that led to nothing, with all that hangs on them, after the months the owner set.

    Led to nothing: still an inquiry or declined, with no sheet, no payment and nothing sent to choose from.
    """
    months = Shop.objects.values_list("inquiry_kept_months", flat=True).first()
    if months is None:
        return 0
    old = Consultation.objects.filter(
        inquiry__isnull=False,
        state__in=(State.INQUIRY, State.DECLINED),
        changed_at__lt=now - months * A_MONTH,
        sheets__isnull=True,
        payments__isnull=True,
        sent__isnull=True,
        links__isnull=True,
    ).order_by("pk")
    swept = 0
    for consultation in old[:AT_ONCE]:
        _erase(consultation)
        swept += 1
    return swept


def _erase(consultation: Consultation) -> None:
    photos = list(consultation.photos.values_list("sha256", "thumbnail_sha256"))
    letters = [file_of(message) for message in consultation.messages.all()]
    with transaction.atomic():
        # Its record and inquiry are written once; what must be erased is, and the guards stand again with it.
        for model in (Inquiry, Entry):
            _delete_sealed(model._meta.db_table, consultation.pk)
        consultation.delete()
    for letter in letters:
        letter.unlink(missing_ok=True)
    forget_pictures(digest for pair in photos for digest in pair)


def _delete_sealed(table: str, pk: int) -> None:
    with connection.cursor() as cursor:
        for statement in lifting_sql(connection.vendor, table):
            cursor.execute(statement)
        name = connection.ops.quote_name(table)
        cursor.execute(f"DELETE FROM {name} WHERE consultation_id = %s", [pk])
        for statement in guard_sql(connection.vendor, table):
            cursor.execute(statement)


def _digests(photos: Iterable[dict[str, str]]) -> list[str]:
    return [photo[part] for photo in photos for part in ("sha256", "thumbnail")]


def forget_pictures(digests: Iterable[str]) -> None:
    """Delete the bytes of pictures that no consultation, sheet or draft holds any more."""
    for digest in set(digests):
        if not _is_held(digest):
            store.forget(digest)


def _is_held(digest: str) -> bool:
    return (
        Photo.objects.filter(sha256=digest).exists()
        or Photo.objects.filter(thumbnail_sha256=digest).exists()
        or Sheet.objects.filter(body__icontains=digest).exists()
        or InquiryDraft.objects.filter(photos__icontains=digest).exists()
    )
