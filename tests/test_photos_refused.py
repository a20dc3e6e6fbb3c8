"""Is everything that is no photo refused, quickly and in its own words?"""

import struct
import time
import tracemalloc
import warnings
import zlib

import numpy as np
import pytest
from PIL import ExifTags, Image

from consult.photos import MOST_BYTES, BadPhoto, clean, for_print, pixels_of
from tests.pictures import (
    cake,
    is_the_cake,
    png_bomb,
    png_of,
    read,
    refusal,
    written,
    zip_with_script,
)


@pytest.mark.parametrize(
    ("width", "height", "words"),
    [
        (20_000, 20_000, "far more"),
        (9_000, 8_000, "72"),
        (13_000, 13_000, "far more"),
        (8_000, 8_100, "65"),
    ],
)
def test_decompression_bomb_is_refused_from_its_header(width: int, height: int, words: str) -> None:
    bomb = png_bomb(width, height)
    assert len(bomb) < 60_000
    tracemalloc.start()
    began = time.perf_counter()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", Image.DecompressionBombWarning)
        sentence = refusal(bomb)
    took = time.perf_counter() - began
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert "megapixels; the most we can take is 64" in sentence
    assert took < 0.25
    assert peak < 1_000_000


def test_bomb_is_refused_where_warnings_are_errors_too() -> None:
    assert "megapixels" in refusal(png_bomb(9_000, 8_000))


def test_photo_of_exactly_the_most_pixels_is_taken() -> None:
    photo = clean(png_bomb(8_000, 8_000))
    assert (photo.width, photo.height) == (2048, 2048)


def test_photo_of_sixty_megabytes_is_refused_with_its_size() -> None:
    sentence = refusal(b"\xff\xd8\xff" + bytes(60 * 2**20))
    assert sentence == (
        "This photo is 60 MB; the most we can take is 40 MB. Please send a smaller copy."
    )


def test_size_is_refused_one_byte_above_the_most_and_looked_at_below() -> None:
    padded = written(cake(), "PNG")
    at_most = padded + bytes(MOST_BYTES - len(padded))
    assert is_the_cake(clean(at_most).jpeg)
    assert "the most we can take is 40 MB" in refusal(at_most + b"\0")


WHOLE = written(cake(1200, 900), "JPEG", quality=90)

REFUSED = {
    "empty": (b"", "This file is empty."),
    "text": (b"Dear shop, here is my cake", "This file is not a picture."),
    "HTML": (b"<!DOCTYPE html><script>1</script>", "This file is not a picture."),
    "one byte": (b"\xff", "This file is not a picture."),
    "SVG": (b'<svg xmlns="http://www.w3.org/2000/svg"/>', "This is an SVG drawing."),
    "SVG with prologue": (b'\xef\xbb\xbf<?xml version="1.0"?>\n<svg/>', "This is an SVG drawing."),
    "PDF": (b"%PDF-1.7\n", "This is a PDF."),
    "TIFF": (written(cake(), "TIFF"), "This is a TIFF or raw camera picture."),
    "BMP": (written(cake(), "BMP"), "This is a BMP picture."),
    "EPS": (written(cake(), "EPS"), "This is a PostScript file."),
    "icon": (written(cake(), "ICO"), "This is an icon."),
    "JPEG 2000": (b"\0\0\0\x0cjP  \r\n\x87\n" + bytes(40), "This is a JPEG 2000 picture."),
    "zip": (zip_with_script(), "This is a zip file or a document."),
    "video": (b"\0\0\0\x14ftypqt  " + bytes(40), "This is a video."),
    "cut JPEG": (WHOLE[: len(WHOLE) // 2], "This picture is broken or was cut short"),
    "JPEG's first bytes": (WHOLE[:12], "This picture is broken or was cut short"),
    "cut PNG": (written(cake(), "PNG")[:400], "This picture is broken or was cut short"),
    "cut WebP": (written(cake(), "WEBP")[:200], "This picture is broken or was cut short"),
    "cut AVIF": (written(cake(), "AVIF")[:300], "This picture is broken or was cut short"),
    "cut GIF": (written(cake(), "GIF")[:60], "This picture is broken or was cut short"),
    "PNG's signature": (b"\x89PNG\r\n\x1a\n", "This picture is broken or was cut short"),
    "HEIC without picture": (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "This picture is broken"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_file_that_is_no_photo_is_refused_in_its_own_words(name: str) -> None:
    data, words = REFUSED[name]
    sentence = refusal(data)
    assert sentence.startswith(words)
    assert sentence.endswith(".")
    named_kinds = "JPEG, PNG, WebP, HEIC, AVIF or GIF" in sentence
    assert named_kinds is not words.startswith(("This picture is broken", "This file is empty"))


def test_huge_text_in_a_png_is_not_unpacked() -> None:
    header = struct.pack(">2I5B", 4, 4, 8, 2, 0, 0, 0)
    text = b"Comment\0\0" + zlib.compress(b"A" * 50_000_000, 9)
    png = png_of((b"IHDR", header), (b"zTXt", text), (b"IEND", b""))
    assert refusal(png).startswith("This picture is broken")


def test_spoilt_bytes_are_taken_or_refused_but_never_crash() -> None:
    chance = np.random.default_rng(2)
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    wholes = [
        written(cake(80, 60), kind, exif=exif) for kind in ("JPEG", "PNG", "WEBP", "AVIF")
    ] + [written(cake(80, 60), "GIF")]
    taken = refused = 0
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # Pillow warns of spoilt metadata
        for whole in wholes:
            for _ in range(60):
                spoilt = bytearray(whole)
                for place in chance.integers(0, len(whole), 2):
                    spoilt[place] = chance.integers(256)
                try:
                    read(clean(bytes(spoilt)).jpeg).load()
                    taken += 1
                except BadPhoto:
                    refused += 1
    assert taken + refused == 300
    assert taken > 20
    assert refused > 20


def test_stored_photo_that_is_no_longer_a_picture_is_refused() -> None:
    with pytest.raises(BadPhoto, match="broken"):
        pixels_of(b"gone")
    with pytest.raises(BadPhoto, match="broken"):
        for_print(WHOLE[:2000])
