"""A fault at every call in turn, while a picture is added, a sheet made and a sheet signed: is all or nothing kept?

The failing call moves from the first to the last until the work goes through untouched; once with a single
fault, once with everything after it failing too (the way SQLite tests itself, "How SQLite is tested", 3.1).
"""

from pathlib import Path

import pytest
from django.conf import settings
from django.db import connection

from consult import store
from consult.actions import photos, sheets
from consult.actions.keeping import Seen
from consult.core.strokes import strokes_from
from consult.finding import consultation_at_hand
from consult.models import Consultation, DepositAsked, Entry, Photo, Sheet, Signature
from consult.steps.sheet import shown
from tests.consultations import make_consultation
from tests.makers import make_design
from tests.steps.test_photos import picture
from tests.steps.test_signing import STROKES
from tests.trust.faults import failing

pytestmark = pytest.mark.django_db(transaction=True)
MOST_CALLS = 200


def state_of(row):
    """All that could be half done."""
    kept = Consultation.objects.values("revision", "state").get(pk=row.pk)
    counts = [model.objects.count() for model in (Photo, Sheet, Signature, DepositAsked, Entry)]
    return kept, counts, list(row.bench.values_list("on", "minutes"))


def no_row_without_its_file():
    for photo in Photo.objects.all():
        store.fetch(photo.sha256)
        store.fetch(photo.thumbnail_sha256)
    for sheet in Sheet.objects.all():
        assert store.fetch(sheet.pdf_sha256).startswith(b"%PDF")
    for signature in Signature.objects.all():
        assert store.fetch(signature.pdf_sha256).startswith(b"%PDF")
        assert Entry.objects.filter(
            what="signed", consultation=signature.sheet.consultation
        ).exists()


def media_files():
    return [path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file()]


def moved_through(row, work, *, and_after):
    """Let each call of the work fail in its turn until it goes through; what failed, in order."""
    Path(settings.MEDIA_ROOT).mkdir(exist_ok=True)
    before, failed, files = state_of(row), [], set(media_files())
    for at in range(1, MOST_CALLS):
        with failing(at, and_after=and_after) as faults:
            try:
                work()
            except Exception:
                assert faults.failed, "it failed without a fault of ours"
            else:
                if not faults.failed:
                    return failed
        failed.append(faults.failed[0])
        no_row_without_its_file()
        if state_of(row) != before:  # a fault in tidying up, after all was kept
            assert faults.failed[0].startswith("os.remove"), faults.failed
            before = state_of(row)
            files = set(media_files())
        for path in set(media_files()) - files:  # so that the next try writes every file anew
            path.unlink()
        for folder in sorted(Path(settings.MEDIA_ROOT).rglob("*/"), reverse=True):
            if not any(folder.iterdir()):
                folder.rmdir()
    raise AssertionError("it never went through")


def quoted(rosa):
    row = make_consultation(rosa, guests=10, design=make_design((6,)))
    at = consultation_at_hand(row.pk)
    made = shown(at)["sheet"]
    sheets.make_sheet(at.row, by=rosa, seen=Seen(at.row.revision), sheet=made, bench=())
    return at.row


@pytest.mark.parametrize("and_after", [False, True], ids=["one fault", "all after it too"])
def test_a_picture_is_added_whole_or_not_at_all(rosa, and_after):
    row = make_consultation(rosa, guests=10, design=make_design((6,)))
    data = picture().read()
    failed = moved_through(
        row, lambda: photos.add_photo(row, by=rosa, seen=None, data=data), and_after=and_after
    )
    assert Photo.objects.count() == 1
    no_row_without_its_file()
    seen_failing(failed)


@pytest.mark.parametrize("and_after", [False, True], ids=["one fault", "all after it too"])
def test_a_sheet_is_made_whole_or_not_at_all(rosa, and_after):
    row = make_consultation(rosa, guests=10, design=make_design((6,)))
    at = consultation_at_hand(row.pk)
    made = shown(at)["sheet"]

    def work():
        fresh = Consultation.objects.get(pk=row.pk)
        sheets.make_sheet(fresh, by=rosa, seen=Seen(fresh.revision), sheet=made, bench=())

    failed = moved_through(row, work, and_after=and_after)
    assert Sheet.objects.count() == 1
    no_row_without_its_file()
    seen_failing(failed)


@pytest.mark.parametrize("and_after", [False, True], ids=["one fault", "all after it too"])
def test_a_sheet_is_signed_whole_or_not_at_all(rosa, and_after):
    row = quoted(rosa)
    sheet = Sheet.objects.get()
    signer = sheets.Signer(
        "Ann Okafor", strokes_from(STROKES), True, sheet.fingerprint, "127.0.0.1", "a test", rosa
    )

    def work():
        fresh = Consultation.objects.get(pk=row.pk)
        sheets.sign_sheet(fresh, sheets.current_sheet(fresh), signer=signer)

    failed = moved_through(row, work, and_after=and_after)
    assert Signature.objects.count() == 1
    no_row_without_its_file()
    seen_failing(failed)


def seen_failing(failed):
    """The fault did go through all kinds of calls."""
    kinds = ("open", "os.rename", "INSERT", "UPDATE", "COMMIT")
    if connection.vendor != "sqlite":
        kinds = kinds[:-1]  # only SQLite lets a commit be refused from outside
    for kind in kinds:
        assert any(what.startswith(kind) for what in failed), (kind, failed)


def test_a_file_torn_on_the_disk_is_written_anew_when_the_same_bytes_come_again(rosa, media):
    digest = store.keep(b"a picture")
    path = media / digest[:2] / digest
    path.write_bytes(b"a pic")
    with pytest.raises(store.LostFile):
        store.fetch(digest)
    assert store.keep(b"a picture") == digest
    assert store.fetch(digest) == b"a picture"
