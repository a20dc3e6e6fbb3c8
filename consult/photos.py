"""Is this a photo we can take? Any phone's picture in, one plain JPEG out, with nothing else in it.

The pixels are pasted into a fresh picture, so that no place, camera, comment, colour profile or
hidden tail of the original survives. The original is not kept.
"""

import io
import threading
from dataclasses import dataclass
from hashlib import sha256

import numpy as np
import pi_heif
from numpy.typing import NDArray
from PIL import ExifTags, Image, ImageCms

pi_heif.register_heif_opener()

# JPEG takes in the several-picture JPEGs of some phones; of animations the first picture is used.
FORMATS = ("JPEG", "PNG", "WEBP", "HEIF", "AVIF", "GIF")
WE_TAKE = "Please choose a JPEG, PNG, WebP, HEIC, AVIF or GIF picture."

MOST_BYTES = 40 * 2**20  # a 48-megapixel phone photo is about 15 MB
MOST_PIXELS = 64_000_000  # lets 48-megapixel phones through; told from the header alone
Image.MAX_IMAGE_PIXELS = MOST_PIXELS  # Pillow's own net below ours: it refuses at twice this

EDGE, QUALITY = 2048, 85  # the stored picture's longer side at most
THUMBNAIL_EDGE, THUMBNAIL_QUALITY = 480, 80
MOST_PRINT_BYTES = 400_000  # six on a sheet stay well under 3 MB, whatever is in the picture

# A 48-megapixel HEIC took 474 MB at its peak when measured, so one picture is decoded at a time.
_ONE_AT_A_TIME = threading.Semaphore(1)
_SRGB = ImageCms.createProfile("sRGB")

# What sets a picture upright, by its Exif orientation (Exif 2.3, tag 0x0112).
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


class BadPhoto(ValueError):
    """A photo we do not take; `sentence` says why and what to do, for the person who sent it."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True)
class CleanPhoto:
    """Upright sRGB JPEGs without metadata; sizes in pixels and `sha256` are those of `jpeg`."""

    jpeg: bytes
    width: int
    height: int
    sha256: str
    thumbnail: bytes


EMPTY = "This file is empty. Please choose the photo again."
NOT_A_PICTURE = f"This file is not a picture. {WE_TAKE}"
BROKEN = "This picture is broken or was cut short on its way. Please send it again."
TOO_MANY_PIXELS = (
    "This picture has {megapixels} megapixels; the most we can take is 64. "
    "Please send a smaller one."
)

# First bytes of files that are pictures or papers to the one who sends them, but not to us.
_OTHER_KINDS = (
    (b"%PDF-", "a PDF"),
    (b"II*\x00", "a TIFF or raw camera picture"),
    (b"MM\x00*", "a TIFF or raw camera picture"),
    (b"BM", "a BMP picture"),
    (b"8BPS", "a Photoshop picture"),
    (b"%!PS", "a PostScript file"),
    (b"\xc5\xd0\xd3\xc6", "a PostScript file"),
    (b"\x00\x00\x01\x00", "an icon"),
    (b"\x00\x00\x00\x0cjP  ", "a JPEG 2000 picture"),
    (b"\x00\x00\x00\x0cJXL ", "a JPEG XL picture"),
    (b"\xff\x0a", "a JPEG XL picture"),
    (b"PK\x03\x04", "a zip file or a document"),
    (b"\x1aE\xdf\xa3", "a video"),
)
_FIRST_BYTES = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"GIF87a", b"GIF89a")
_PICTURE_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif")


def _looks_like_ours(data: bytes) -> bool:
    """Whether the first bytes are those of a kind we take, even if the rest cannot be read."""
    if data[:4] == b"RIFF":
        return data[8:12] == b"WEBP"
    if data[4:8] == b"ftyp":
        return data[8:12] in _PICTURE_BRANDS
    return data.startswith(_FIRST_BYTES)


def _why_not_opened(data: bytes) -> str:
    if _looks_like_ours(data):
        return BROKEN
    for first, called in _OTHER_KINDS:
        if data.startswith(first):
            return f"This is {called}. {WE_TAKE}"
    if data[4:8] == b"ftyp":
        return f"This is a video. {WE_TAKE}"
    start = data[:2048].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if start.startswith(b"<svg") or (start.startswith((b"<?xml", b"<!")) and b"<svg" in start):
        return f"This is an SVG drawing. {WE_TAKE}"
    return NOT_A_PICTURE


def _too_large(size: int) -> str:
    return (
        f"This photo is {size / 2**20:.0f} MB; the most we can take is {MOST_BYTES // 2**20} MB. "
        "Please send a smaller copy."
    )


def _refuse_too_many_pixels(width: int, height: int) -> None:
    if width * height > MOST_PIXELS:
        megapixels = -(-width * height // 1_000_000)
        raise BadPhoto(TOO_MANY_PIXELS.format(megapixels=megapixels))


def _opened(data: bytes) -> Image.Image:
    """The picture with its header read and nothing decoded yet."""
    try:
        picture = Image.open(io.BytesIO(data), formats=FORMATS)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise BadPhoto(TOO_MANY_PIXELS.format(megapixels="far more than 64")) from error
    except Exception as error:  # readers raise all sorts of things on malformed bytes
        raise BadPhoto(_why_not_opened(data)) from error
    _refuse_too_many_pixels(picture.width, picture.height)
    return picture


def _full_colour(picture: Image.Image) -> Image.Image:
    """The picture in a mode that can be shrunk smoothly: 16 bits become 8, a palette colours."""
    if picture.mode == "I" or picture.mode.startswith("I;16"):
        return picture.point(lambda value: value / 256).convert("L")
    if picture.mode in ("1", "P", "PA", "LA", "La", "RGBa") or "transparency" in picture.info:
        see_through = picture.mode in ("PA", "LA", "La", "RGBa") or "transparency" in picture.info
        return picture.convert("RGBA" if see_through else "RGB")
    return picture


def _in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """RGB or RGBA, by the picture's own colour profile where it has a usable one."""
    if profile and picture.mode in ("RGB", "RGBA", "CMYK", "L"):
        mode = "RGBA" if picture.mode == "RGBA" else "RGB"
        try:
            own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            converted = ImageCms.profileToProfile(picture, own, _SRGB, outputMode=mode)
            if converted is not None:
                return converted
        except (ImageCms.PyCMSError, OSError, ValueError):
            pass  # a broken profile, or one of another kind of colour: take the numbers as sRGB
    return picture if picture.mode in ("RGB", "RGBA") else picture.convert("RGB")


def _upright(picture: Image.Image) -> Image.Image:
    """Turned and mirrored as its metadata says, once that has been read with the pixels."""
    try:
        orientation = picture.getexif().get(ExifTags.Base.Orientation, 1)
    except Exception:  # metadata can be malformed in any way; the picture itself is still good
        return picture
    turn = _TURNS.get(orientation) if isinstance(orientation, int) else None
    return picture if turn is None else picture.transpose(turn)


def _fresh(picture: Image.Image) -> Image.Image:
    """The pixels alone, on white, in a picture that has never held anything else."""
    fresh = Image.new("RGB", picture.size, "white")
    fresh.paste(picture, mask=picture.getchannel("A") if picture.mode == "RGBA" else None)
    return fresh


def _as_jpeg(picture: Image.Image, quality: int, *, progressive: bool = True) -> bytes:
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=quality, optimize=True, progressive=progressive)
    return out.getvalue()


def _shrunk(picture: Image.Image, edge: int) -> Image.Image:
    smaller = picture.copy()
    smaller.thumbnail((edge, edge), Image.Resampling.LANCZOS)
    return smaller


def clean(data: bytes) -> CleanPhoto:
    """A photo made safe to keep: upright, sRGB, at most 2048 pixels, a JPEG of ours.

    Raises BadPhoto with a sentence of its own for each cause. The same bytes give the same photo.
    """
    if not data:
        raise BadPhoto(EMPTY)
    if len(data) > MOST_BYTES:
        raise BadPhoto(_too_large(len(data)))
    with _ONE_AT_A_TIME:
        picture = _opened(data)
        try:
            picture.draft("RGB", (EDGE, EDGE))  # JPEGs are decoded at 1/2 to 1/8 where enough
            profile = picture.info.get("icc_profile")
            plain = _full_colour(picture)
            plain.thumbnail((EDGE, EDGE), Image.Resampling.LANCZOS)
            stored = _fresh(_in_srgb(_upright(plain), profile))
        except BadPhoto:
            raise
        except Exception as error:  # decoders raise all sorts of things on malformed bytes
            raise BadPhoto(BROKEN) from error
    jpeg = _as_jpeg(stored, QUALITY)
    return CleanPhoto(
        jpeg=jpeg,
        width=stored.width,
        height=stored.height,
        sha256=sha256(jpeg).hexdigest(),
        thumbnail=_as_jpeg(_shrunk(stored, THUMBNAIL_EDGE), THUMBNAIL_QUALITY),
    )


def _ours(jpeg: bytes, edge: int) -> Image.Image:
    """One of our own JPEGs, decoded at twice `edge` or more. Raises BadPhoto if it is none."""
    try:
        picture = Image.open(io.BytesIO(jpeg), formats=("JPEG",))
        picture.draft("RGB", (2 * edge, 2 * edge))
        picture.load()
    except (OSError, SyntaxError, ValueError) as error:
        raise BadPhoto(BROKEN) from error
    return picture


def for_print(jpeg: bytes, edge: int = 1000, quality: int = 80) -> bytes:
    """A stored photo as it goes into a paper: at most `edge` pixels and MOST_PRINT_BYTES bytes.

    A picture of pure grain is written coarser, then smaller, until it fits.
    """
    picture = _fresh(_shrunk(_ours(jpeg, edge), edge))
    printed = _as_jpeg(picture, quality, progressive=False)
    while len(printed) > MOST_PRINT_BYTES:
        if quality > 55:
            quality -= 10
        else:
            picture = _shrunk(picture, max(picture.size) * 3 // 4)
        printed = _as_jpeg(picture, quality, progressive=False)
    return printed


def pixels_of(jpeg: bytes, edge: int = 128) -> NDArray[np.uint8]:
    """The pixels of a stored photo, n x 3, shrunk to `edge` at most: enough to find its colours.

    Each is the mean of those it stands for, so that no colour appears which is not there.
    """
    picture = _ours(jpeg, edge).convert("RGB")
    picture.thumbnail((edge, edge), Image.Resampling.BOX)
    return np.asarray(picture, dtype=np.uint8).reshape(-1, 3)
