"""Pictures made on the spot for the tests of photos."""

import io
import struct
import zipfile
import zlib

import numpy as np
import pytest
from PIL import Image, ImageDraw

from consult.photos import BadPhoto, clean

WARM_WHITE, ROSE, SAGE = (248, 241, 230), (220, 115, 134), (165, 180, 150)
SECRET = b"SECRET-THAT-MUST-NOT-SURVIVE"


def cake(width: int = 400, height: int = 300) -> Image.Image:
    """A picture that shows which way is up: rose in the upper left quarter, sage along the foot."""
    picture = Image.new("RGB", (width, height), WARM_WHITE)
    draw = ImageDraw.Draw(picture)
    draw.rectangle((0, 0, width // 2 - 1, height // 2 - 1), fill=ROSE)
    draw.rectangle((0, height * 3 // 4, width, height), fill=SAGE)
    return picture


def written(picture: Image.Image, kind: str, **options: object) -> bytes:
    out = io.BytesIO()
    picture.save(out, kind, **options)
    return out.getvalue()


def read(jpeg: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(jpeg))
    assert picture.format == "JPEG"
    assert picture.mode == "RGB"
    return picture


def is_the_cake(jpeg: bytes) -> bool:
    """Whether the picture is upright and in the cake's colours, judged at its quarters."""
    picture = read(jpeg)
    width, height = picture.size
    expected = {(0.25, 0.25): ROSE, (0.75, 0.25): WARM_WHITE, (0.25, 0.65): WARM_WHITE}
    expected[(0.75, 0.9)] = expected[(0.25, 0.9)] = SAGE
    return all(
        np.abs(np.subtract(picture.getpixel((int(x * width), int(y * height))), rgb)).max() <= 6
        for (x, y), rgb in expected.items()
    )


def refusal(data: bytes) -> str:
    with pytest.raises(BadPhoto) as refused:
        clean(data)
    assert refused.value.sentence == str(refused.value)
    return refused.value.sentence


def zip_with_script() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("run.html", SECRET)
    return out.getvalue()


def is_close(photo: object, rgb: tuple[int, int, int]) -> bool:
    middle = read(photo.jpeg).getpixel((photo.width // 2, photo.height // 2))
    return np.abs(np.subtract(middle, rgb)).max() <= 4


def png_of(*chunks: tuple[bytes, bytes]) -> bytes:
    """A PNG of these chunks, each a name and its body (PNG, W3C, section 5)."""
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        for name, body in chunks
    )


def png_bomb(width: int, height: int) -> bytes:
    """A small black and white PNG that unpacks to width x height."""
    deflate = zlib.compressobj(9)
    row = b"\0" * (1 + (width + 7) // 8)
    pixels = b"".join(deflate.compress(row * 100) for _ in range(height // 100)) + deflate.flush()
    header = struct.pack(">2I5B", width, height, 1, 0, 0, 0, 0)
    return png_of((b"IHDR", header), (b"IDAT", pixels), (b"IEND", b""))


def grainy(width: int, height: int, grain: float) -> bytes:
    noise = np.random.default_rng(4).normal(0, grain, (height, width, 3))
    return written(
        Image.fromarray(np.clip(np.asarray(cake(width, height)) + noise, 0, 255).astype(np.uint8)),
        "JPEG",
        quality=95,
    )
