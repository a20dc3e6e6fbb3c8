"""Does every phone's photo come out upright, plain and in its own colours?"""

import io
import struct
import threading
import warnings
import zipfile
import zlib
from hashlib import sha256

import numpy as np
import pytest
from PIL import ExifTags, Image, ImageCms, PngImagePlugin

from consult.photos import clean, for_print, pixels_of
from tests.pictures import (
    ROSE,
    SECRET,
    cake,
    grainy,
    is_close,
    is_the_cake,
    png_of,
    read,
    written,
    zip_with_script,
)

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it warns of plotting packages that we do not need
    import colour


@pytest.mark.parametrize(
    ("kind", "options"),
    [
        ("JPEG", {"quality": 95}),
        ("JPEG", {"quality": 95, "progressive": True}),
        ("MPO", {"quality": 95, "save_all": True, "append_images": [Image.new("RGB", (400, 300))]}),
        ("PNG", {}),
        ("WEBP", {"lossless": True}),
        ("AVIF", {"quality": 95}),
        ("GIF", {}),
    ],
    ids=["JPEG", "progressive JPEG", "MPO", "PNG", "WebP", "AVIF", "GIF"],
)
def test_each_kind_we_take_comes_out_as_the_same_picture(kind: str, options: dict) -> None:
    photo = clean(written(cake(), kind, **options))
    assert is_the_cake(photo.jpeg)
    assert is_the_cake(photo.thumbnail)
    assert (photo.width, photo.height) == read(photo.jpeg).size == (400, 300)
    assert photo.sha256 == sha256(photo.jpeg).hexdigest()


# How the stored pixels lie for each Exif orientation (Exif 2.3, tag 0x0112): where the picture's
# first row and first column are. The inverse of turning upright.
AS_STORED = {
    1: lambda rows: rows,
    2: lambda rows: rows[:, ::-1],  # row 0 is the top, column 0 the right
    3: lambda rows: rows[::-1, ::-1],  # bottom, right
    4: lambda rows: rows[::-1],  # bottom, left
    5: lambda rows: rows.transpose(1, 0, 2),  # left, top
    6: lambda rows: rows.transpose(1, 0, 2)[::-1],  # right, top
    7: lambda rows: rows.transpose(1, 0, 2)[::-1, ::-1],  # right, bottom
    8: lambda rows: rows.transpose(1, 0, 2)[:, ::-1],  # left, bottom
}


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "AVIF"])
@pytest.mark.parametrize("orientation", AS_STORED)
def test_photo_stands_upright_however_the_phone_was_held(orientation: int, kind: str) -> None:
    stored = Image.fromarray(np.ascontiguousarray(AS_STORED[orientation](np.asarray(cake()))))
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    photo = clean(written(stored, kind, quality=95, exif=exif))
    assert (photo.width, photo.height) == (400, 300)
    assert is_the_cake(photo.jpeg)
    assert not read(photo.jpeg).getexif()


def test_orientation_is_kept_for_a_palette_picture_and_odd_values_are_passed_over() -> None:
    turned = Image.fromarray(np.ascontiguousarray(AS_STORED[6](np.asarray(cake()))))
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    assert is_the_cake(clean(written(turned.quantize(16), "PNG", exif=exif)).jpeg)
    exif[ExifTags.Base.Orientation] = 77
    assert is_the_cake(clean(written(cake(), "PNG", exif=exif)).jpeg)
    assert is_the_cake(clean(written(cake(), "JPEG", quality=95, exif=b"Exif\0\0MM\0*\xff")).jpeg)


def test_place_camera_comment_and_profile_are_gone() -> None:
    exif = Image.Exif()
    exif[ExifTags.Base.Model] = SECRET.decode()
    exif.get_ifd(ExifTags.IFD.GPSInfo).update(
        {ExifTags.GPS.GPSLatitudeRef: "N", ExifTags.GPS.GPSLatitude: (52.0, 7.0, 41.0)}
    )
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    original = written(
        cake(),
        "JPEG",
        exif=exif,
        icc_profile=profile,
        comment=SECRET,
        xmp=b"<x:xmpmeta>" + SECRET + b"</x:xmpmeta>",
    )
    seen = Image.open(io.BytesIO(original))
    assert seen.getexif().get_ifd(ExifTags.IFD.GPSInfo)
    assert {"icc_profile", "comment", "xmp"} <= set(seen.info)
    assert original.count(SECRET) == 3
    photo = clean(original)
    for jpeg in (photo.jpeg, photo.thumbnail, for_print(photo.jpeg)):
        plain = read(jpeg)
        assert not plain.getexif()
        assert not {"icc_profile", "comment", "xmp", "exif"} & set(plain.info)
        assert SECRET not in jpeg
        assert markers_of(jpeg) <= {0xE0, 0xDB, 0xC0, 0xC2, 0xC4, 0xDA}


def markers_of(jpeg: bytes) -> set[int]:
    """The segments up to the first scan (ITU T.81): JFIF, tables, frame, scan; no APP1, no COM."""
    found, place = set(), 2
    while True:
        marker, length = jpeg[place + 1], int.from_bytes(jpeg[place + 2 : place + 4], "big")
        found.add(marker)
        if marker == 0xDA:
            return found
        place += 2 + length


def png_with_text() -> bytes:
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Comment", SECRET.decode())
    notes.add_itxt("XML:com.adobe.xmp", SECRET.decode())
    return written(cake(), "PNG", pnginfo=notes)


@pytest.mark.parametrize(
    "carrier",
    [
        written(cake(), "PNG") + b"<script>" + SECRET + b"</script>",
        written(cake(), "JPEG", quality=95) + b"<?php " + SECRET + b" ?>",
        written(cake(), "PNG") + zip_with_script(),
        written(cake(), "GIF", comment=b"<script>" + SECRET + b"</script>"),
        written(cake(), "WEBP", lossless=True, xmp=SECRET, icc_profile=SECRET),
        written(cake(), "JPEG", quality=95, icc_profile=SECRET),
        png_with_text(),
    ],
    ids=["PNG and script", "JPEG and script", "PNG and zip", "GIF", "WebP", "profile", "text"],
)
def test_what_hides_in_or_behind_a_picture_does_not_survive(carrier: bytes) -> None:
    assert SECRET in carrier
    photo = clean(carrier)
    assert is_the_cake(photo.jpeg)
    for jpeg in (photo.jpeg, photo.thumbnail):
        assert SECRET not in jpeg
        assert jpeg.endswith(b"\xff\xd9")
        assert not zipfile.is_zipfile(io.BytesIO(jpeg))


def test_large_photo_is_shrunk_in_proportion_and_small_one_is_left() -> None:
    large = clean(written(cake(4000, 3000), "JPEG"))
    assert (large.width, large.height) == (2048, 1536)
    assert max(read(large.thumbnail).size) == 480
    assert is_the_cake(large.jpeg)
    tall = clean(written(cake(600, 6000), "PNG"))
    assert (tall.width, tall.height) == (205, 2048)
    small = clean(written(cake(40, 30), "PNG"))
    assert (small.width, small.height) == (40, 30)
    assert read(small.thumbnail).size == (40, 30)
    strip = clean(written(Image.new("L", (1, 60_000)), "PNG"))
    assert (strip.width, strip.height) == (1, 2048)


def test_same_bytes_give_the_same_photo() -> None:
    data = written(cake(), "WEBP")
    assert clean(data) == clean(data)


def test_four_colour_printing_picture() -> None:
    assert is_close(
        clean(written(Image.new("CMYK", (60, 40), (0, 128, 128, 0)), "JPEG")), (255, 127, 127)
    )


def test_sixteen_bit_greys_keep_their_whole_range() -> None:
    ramp = np.tile(np.linspace(0, 65535, 256).astype(np.uint16), (40, 1))
    photo = clean(written(Image.fromarray(ramp), "PNG"))
    grey = np.asarray(read(photo.jpeg).convert("L")).astype(int)
    assert grey[20, [0, 64, 128, 192, 255]] == pytest.approx([0, 64, 128, 192, 255], abs=3)


def sixteen_bit_colour_png() -> bytes:
    """Pillow writes no 16-bit colour, so the chunks are put together here (PNG, W3C, section 11)."""
    row = b"\0" + struct.pack(">3H", 56540, 29555, 34438) * 50

    header = struct.pack(">2I5B", 50, 40, 16, 2, 0, 0, 0)
    return png_of((b"IHDR", header), (b"IDAT", zlib.compress(row * 40)), (b"IEND", b""))


def test_sixteen_bit_colours() -> None:
    assert is_close(clean(sixteen_bit_colour_png()), ROSE)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA"])
def test_black_grey_palette_and_see_through_pictures(mode: str) -> None:
    assert is_close(
        clean(written(Image.new("RGB", (60, 40), "white").convert(mode), "PNG")), (255,) * 3
    )


def test_see_through_parts_come_out_white() -> None:
    clear = Image.new("RGBA", (60, 40), (10, 20, 30, 0))
    assert is_close(clean(written(clear, "PNG")), (255, 255, 255))
    assert is_close(clean(written(clear, "WEBP", lossless=True)), (255, 255, 255))
    half = Image.new("RGBA", (60, 40), (0, 0, 0, 128))
    assert is_close(clean(written(half, "PNG")), (127, 127, 127))
    palette = Image.new("P", (60, 40), 3)
    palette.putpalette([9, 9, 9] * 8)
    assert is_close(clean(written(palette, "PNG", transparency=3)), (255, 255, 255))
    assert is_close(clean(written(palette, "GIF", transparency=3)), (255, 255, 255))


def test_of_an_animation_the_first_picture_is_taken() -> None:
    others = [Image.new("RGB", (400, 300), (0, 0, shade)) for shade in range(100, 140)]
    for kind in ("GIF", "WEBP", "PNG"):
        moving = written(cake(), kind, save_all=True, append_images=others, lossless=True)
        assert Image.open(io.BytesIO(moving)).n_frames == 41
        assert is_the_cake(clean(moving).jpeg)


def wide_gamut_profile() -> bytes:
    """A colour profile (ICC.1:2001-04) with the primaries of Display P3 and a gamma of 2.2.

    Colorants adapted to D50 as Display P3 profiles give them (from memory).
    """

    def number(value: float) -> bytes:
        return struct.pack(">i", round(value * 65536))

    def place(*xyz: float) -> bytes:
        return b"XYZ \0\0\0\0" + b"".join(map(number, xyz))

    curve = b"curv\0\0\0\0" + struct.pack(">IH", 1, round(2.2 * 256)) + b"\0\0"
    text = b"text\0\0\0\0none\0\0\0\0"
    name = b"desc\0\0\0\0" + struct.pack(">I", 5) + b"wide\0" + b"\0" * 79
    tags = {
        b"desc": name,
        b"cprt": text,
        b"wtpt": place(0.9642, 1, 0.8249),
        b"rXYZ": place(0.51512, 0.24120, -0.00105),
        b"gXYZ": place(0.29198, 0.69225, 0.04189),
        b"bXYZ": place(0.15710, 0.06657, 0.78407),
        b"rTRC": curve,
        b"gTRC": curve,
        b"bTRC": curve,
    }
    table, body = struct.pack(">I", len(tags)), b""
    start = 128 + 4 + 12 * len(tags)
    for tag, content in tags.items():
        table += tag + struct.pack(">2I", start + len(body), len(content))
        body += content + b"\0" * (-len(content) % 4)
    header = struct.pack(
        ">I4sI4s4s4s", start + len(body), b"none", 0x02100000, b"mntr", b"RGB ", b"XYZ "
    )
    header += struct.pack(">6H", 2027, 1, 1, 0, 0, 0) + b"acsp" + b"\0" * 28
    header += number(0.9642) + number(1) + number(0.8249)
    return header.ljust(128, b"\0") + table + body


def test_colours_of_a_wide_gamut_phone_are_turned_into_srgb() -> None:
    # Expected by colour-science 0.4.7: linear by gamma 2.2, Display P3 to sRGB
    rgb = np.array((200, 120, 90))
    expected = 255 * colour.cctf_encoding(
        colour.RGB_to_RGB((rgb / 255) ** 2.2, "Display P3", "sRGB"), function="sRGB"
    )
    assert np.abs(expected - rgb).max() > 8
    flat = Image.new("RGB", (60, 40), tuple(rgb))
    photo = clean(written(flat, "JPEG", quality=98, icc_profile=wide_gamut_profile()))
    assert is_close(photo, tuple(expected))
    assert is_close(clean(written(flat, "JPEG", quality=98)), tuple(rgb))


def test_several_photos_at_once_are_all_taken() -> None:
    data, photos = written(cake(1500, 1000), "PNG"), []
    threads = [threading.Thread(target=lambda: photos.append(clean(data))) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(photos) == 6
    assert len({photo.sha256 for photo in photos}) == 1


@pytest.mark.parametrize("grain", [0, 12, 120])
def test_six_photos_for_print_stay_under_three_megabytes(grain: float) -> None:
    stored = clean(grainy(2048, 1536, grain)).jpeg
    printed = for_print(stored)
    assert 6 * len(printed) < 2_500_000
    assert max(read(printed).size) <= 1000
    assert "progressive" not in read(printed).info  # plain baseline, which every PDF reader has
    assert printed == for_print(stored)
    if grain < 100:
        assert read(printed).size == (1000, 750)
        assert len(for_print(stored, edge=300)) < len(printed)


def test_pixels_for_the_palette() -> None:
    pixels = pixels_of(clean(written(cake(1600, 1200), "PNG")).jpeg)
    assert pixels.shape == (128 * 96, 3)
    assert pixels.dtype == np.uint8
    rose = (np.abs(pixels.astype(int) - ROSE).max(axis=1) <= 6).mean()
    assert rose == pytest.approx(0.25, abs=0.01)
    assert len(pixels_of(clean(written(cake(10, 5), "PNG")).jpeg)) == 50
