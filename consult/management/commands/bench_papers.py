"""How long does a signed sheet with six photos take, beside plain paragraphs and the same photos? How large is it?"""

import io
import os
import statistics
import time
from collections.abc import Callable, Mapping
from datetime import date
from typing import TypeVar

from django.core.management.base import BaseCommand, CommandError
from reportlab.lib.pagesizes import letter
from reportlab.lib.styles import getSampleStyleSheet
from reportlab.lib.utils import ImageReader
from reportlab.platypus import Image, Paragraph, SimpleDocTemplate

from consult.core.design import PhotoRef
from consult.core.palette import palette
from consult.core.reckoning import reckon
from consult.core.sheet import DesignSheet, SignatureMark
from consult.core.sheet_making import sheet_of
from consult.core.signing import fingerprint
from consult.documents.design_sheet import design_sheet
from consult.management.bench_seed import MARK, a_photo, rich_brief
from consult.photos import clean, for_print, pixels_of
from shop.sample_setup import sample_book

LIMIT_SECONDS, LIMIT_BYTES = 2.0, 3_000_000
TODAY = date(2027, 3, 3)
Made = TypeVar("Made")
PHOTO_WIDTH = 240  # points, about the width in which the sheet shows them


class Command(BaseCommand):
    help = (
        "Time a signed design sheet with six photos of 12 megapixels, in the sample shop."
        f" Fails over {LIMIT_SECONDS:g} s or {LIMIT_BYTES:,} bytes."
    )

    def add_arguments(self, parser) -> None:
        parser.add_argument("--times", type=int, default=10, help="how often each is made (10)")

    def handle(self, *, times, **options) -> None:
        self.stdout.write(f"load {os.getloadavg()[0]:.1f}")
        taken = [a_photo(number) for number in range(6)]
        self.stdout.write(f"six photos of 12 megapixels, {sum(map(len, taken)) / 1e6:.1f} MB")
        reading, kept = timed(lambda: [clean(data) for data in taken], 1)
        self.stdout.write(f"  taken in, once: {reading}")
        photos = {photo.sha256: photo.jpeg for photo in kept}
        sheet = a_sheet(photos)
        mark = SignatureMark(
            "Nora Feld", "3 March 2027, 14:05 (UTC-05:00)", MARK.lines, "Ben", "drawn"
        )

        def signed() -> bytes:
            """As at signing: the kept photos made fit for paper, then the whole sheet."""
            printed = {sha256: for_print(jpeg) for sha256, jpeg in photos.items()}
            return design_sheet(sheet, fingerprint(sheet), printed, mark)

        printed = {sha256: for_print(jpeg) for sha256, jpeg in photos.items()}
        whole, paper = timed(signed, times)
        laid, _ = timed(lambda: design_sheet(sheet, fingerprint(sheet), printed, mark), times)
        words = words_of(sheet)
        rival, plain_paper = timed(lambda: plain_pages(words, printed), times)
        self.stdout.write(f"signed sheet, photos and all: {whole}, {len(paper):,} bytes")
        self.stdout.write(f"  of which setting the sheet: {laid}")
        self.stdout.write(
            f"{len(words)} plain paragraphs and the same six photos: {rival}, {len(plain_paper):,} bytes"
        )
        self.stdout.write(
            f"ratio of the sheet to the plain pages: {laid.middle / rival.middle:.1f} in time,"
            f" {len(paper) / len(plain_paper):.2f} in bytes; load {os.getloadavg()[0]:.1f}"
        )
        if whole.middle > LIMIT_SECONDS or len(paper) > LIMIT_BYTES:
            raise CommandError(
                f"Promised: under {LIMIT_SECONDS:g} s and {LIMIT_BYTES:,} bytes for a signed sheet."
            )


class Took:
    """Seconds by the clock and by the processor, of several times."""

    def __init__(self, clock: list[float], processor: list[float]) -> None:
        self.middle, self.worst = statistics.median(clock), max(clock)
        self._processor = statistics.median(processor)

    def __str__(self) -> str:
        return f"middle {self.middle:.2f} s, worst {self.worst:.2f} s, processor {self._processor:.2f} s"


def timed(make: Callable[[], Made], times: int) -> tuple[Took, Made]:
    clock, processor = [], []
    for _ in range(times):
        started, spent = time.perf_counter(), time.process_time()
        made = make()
        clock.append(time.perf_counter() - started)
        processor.append(time.process_time() - spent)
    return Took(clock, processor), made


def a_sheet(photos: Mapping[str, bytes]) -> DesignSheet:
    """The sheet of the rich consultation, with these photos."""
    book = sample_book()
    refs = tuple(
        PhotoRef(sha256, f"wish {place}", palette(pixels_of(jpeg)))
        for place, (sha256, jpeg) in enumerate(photos.items(), 1)
    )
    brief = rich_brief(book, TODAY, refs)
    reckoning = reckon(brief, book, TODAY)
    return sheet_of(brief, book, reckoning, number="2027-0001", revision=1, quoted_on=TODAY)


def words_of(value: object) -> list[str]:
    """Every piece of words on a sheet, one paragraph each."""
    if isinstance(value, str):
        return [part for part in value.split("\n\n") if part.strip()]
    if isinstance(value, tuple):
        return [words for one in value for words in words_of(one)]
    names = getattr(value, "__dataclass_fields__", {})
    return [words for name in names for words in words_of(getattr(value, name))]


def plain_pages(words: list[str], photos: Mapping[str, bytes]) -> bytes:
    """The rival: ReportLab's own page with the same words and photos, and nothing drawn."""
    style = getSampleStyleSheet()["Normal"]
    story: list[object] = [
        Paragraph(one.replace("&", "and").replace("<", ""), style) for one in words
    ]
    for jpeg in photos.values():
        wide, high = ImageReader(io.BytesIO(jpeg)).getSize()
        story.append(Image(io.BytesIO(jpeg), PHOTO_WIDTH, PHOTO_WIDTH * high / wide))
    out = io.BytesIO()
    SimpleDocTemplate(out, pagesize=letter).build(story)
    return out.getvalue()
