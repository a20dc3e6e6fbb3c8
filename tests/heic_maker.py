"""A HEIC picture made on the spot, as phones write them, without a video encoder.

The picture is one HEVC frame whose blocks hold their samples as they are (pcm_flag of ITU-T H.265),
so that no transform is needed; of the arithmetic coding one fixed path is left.
"""

import struct

import numpy as np
from PIL import Image

BLOCK = 16

# H.265 table 9-52, rangeTabLps for the widest of the four ranges, by state (from memory; a decoder
# reads the picture right only if it is).
_LESS_LIKELY = (
    *(240, 227, 216, 205, 195, 185, 175, 166, 158, 150, 142, 135, 128, 122, 116, 110, 104, 99),
    *(94, 89, 85, 80, 76, 72, 69, 65, 62, 59, 56, 53, 50, 48, 45, 43, 41, 39, 37, 35, 33, 31),
    *(30, 28, 27, 25, 24, 23, 22, 21, 20, 19, 18, 17, 16, 15, 14, 14, 13, 12, 12, 11, 11, 10, 9),
)


class Bits:
    def __init__(self) -> None:
        self.written = ""

    def fixed(self, value: int, count: int) -> None:
        self.written += f"{value:0{count}b}"

    def counted(self, *values: int) -> None:
        """Each value as ue(v): as many noughts as its digits less one, then value + 1."""
        for value in values:
            digits = f"{value + 1:b}"
            self.written += "0" * (len(digits) - 1) + digits

    def ended(self) -> bytes:
        """With a one and noughts to the next byte."""
        bits = self.written + "1"
        bits += "0" * (-len(bits) % 8)
        return int(bits, 2).to_bytes(len(bits) // 8, "big")


def _unit(kind: int, body: bytes) -> bytes:
    """A NAL unit: its header, and a 3 wherever two noughts would be mistaken for a start code."""
    out, noughts = bytearray(struct.pack(">H", kind << 9 | 1)), 0
    for byte in body:
        if noughts >= 2 and byte <= 3:
            out.append(3)
            noughts = 0
        out.append(byte)
        noughts = noughts + 1 if byte == 0 else 0
    return bytes(out)


def _profile(bits: Bits) -> None:
    bits.fixed(1, 8)  # profile space 0, tier 0, profile Main
    bits.fixed(0x60000000, 32)  # compatible with Main and Main 10
    bits.fixed(0b1001 << 44, 48)  # progressive, frames only
    bits.fixed(93, 8)  # level 3.1


def _parameters(width: int, height: int) -> tuple[bytes, bytes, bytes]:
    video = Bits()
    video.fixed(0b0000_11_000000_000_1, 16)
    video.fixed(0xFFFF, 16)
    _profile(video)
    video.fixed(1, 1)
    video.counted(0, 0, 0)
    video.fixed(0, 6)
    video.counted(0)
    video.fixed(0, 2)

    sequence = Bits()
    sequence.fixed(0b0000_000_1, 8)
    _profile(sequence)
    sequence.counted(0, 1, width, height)  # number, 4:2:0, size
    sequence.fixed(0, 1)  # no cropping
    sequence.counted(0, 0, 0)  # 8 bits, 8 bits, order count
    sequence.fixed(1, 1)
    sequence.counted(0, 0, 0)
    sequence.counted(1, 0, 0, 2, 0, 0)  # blocks of 16 alone; transforms 4 to 16
    sequence.fixed(0b0001, 4)  # no lists, no amp, no sao, pcm
    sequence.fixed(0x77, 8)  # samples of 8 bits
    sequence.counted(1, 0)  # pcm blocks of 16
    sequence.fixed(1, 1)  # no smoothing over them
    sequence.counted(0)
    sequence.fixed(0b00000, 5)

    picture = Bits()
    picture.counted(0, 0)
    picture.fixed(0b00_000_00, 7)
    picture.counted(0, 0, 0)
    picture.fixed(0b000, 3)
    picture.counted(0, 0)
    picture.fixed(0b000000, 6)
    picture.fixed(0b0, 1)  # no filter over slices
    picture.fixed(0b1_0_1, 3)  # deblocking: said here, not changed, off
    picture.fixed(0b00, 2)
    picture.counted(0)
    picture.fixed(0b00, 2)
    return _unit(32, video.ended()), _unit(33, sequence.ended()), _unit(34, picture.ended())


def _slice(picture: Image.Image) -> bytes:
    head = Bits()
    head.fixed(0b1_0, 2)  # first slice; pictures before it are not kept
    head.counted(0, 2, 0)  # parameters 0, I slice, quantiser as it is
    data = bytearray(head.ended())
    luma, *chroma = picture.convert("YCbCr").split()
    planes = [np.asarray(luma)] + [
        np.asarray(plane).reshape(picture.height // 2, 2, -1, 2).mean(axis=(1, 3)).round()
        for plane in chroma
    ]
    spans, state = 510, 0
    for top in range(0, picture.height, BLOCK):
        for left in range(0, picture.width, BLOCK):
            # "one part" as the likelier value, then "samples follow" as an end: nine bits
            data += struct.pack(">H", (spans - _LESS_LIKELY[state] - 2 | 1) << 7)
            spans, state = 508, min(state + 1, 62)
            for plane, size in zip(planes, (BLOCK, BLOCK // 2, BLOCK // 2), strict=True):
                y, x = top * size // BLOCK, left * size // BLOCK
                data += plane[y : y + size, x : x + size].astype(np.uint8).tobytes()
    return _unit(19, bytes(data) + struct.pack(">H", 509 << 7))


def _box(name: bytes, *bodies: bytes, version: int | None = None) -> bytes:
    body = b"".join(bodies)
    if version is not None:
        body = struct.pack(">I", version << 24) + body
    return struct.pack(">I", 8 + len(body)) + name + body


def heic_of(picture: Image.Image, quarter_turns: int = 0, exif: bytes = b"") -> bytes:
    """A HEIC file (ISO/IEC 23008-12) of a picture whose sides are multiples of 16.

    `quarter_turns` is what the file asks for to be shown upright, anticlockwise.
    """
    parameters = _parameters(*picture.size)
    arrays = b"".join(
        struct.pack(">BHH", 0x80 | kind, 1, len(unit)) + unit
        for kind, unit in zip((32, 33, 34), parameters, strict=True)
    )
    general = struct.pack(">BI6sB", 1, 0x60000000, bytes([0x90, 0, 0, 0, 0, 0]), 93)
    record = b"\1" + general + bytes([0xF0, 0, 0xFC, 0xFD, 0xF8, 0xF8, 0, 0, 0x0F, 3]) + arrays
    properties = [
        _box(b"hvcC", record),
        _box(b"ispe", struct.pack(">II", *picture.size), version=0),
        _box(b"colr", b"nclx", struct.pack(">HHHB", 1, 13, 6, 0x80)),
        _box(b"irot", bytes([quarter_turns])),
    ]
    frame = _slice(picture)
    items = [struct.pack(">I", len(frame)) + frame]
    entries = [_box(b"infe", struct.pack(">HH", 1, 0), b"hvc1\0", version=2)]
    links = b""
    if exif:
        items.append(struct.pack(">I", 0) + exif)
        entries.append(_box(b"infe", struct.pack(">HH", 2, 0), b"Exif\0", version=2))
        links = _box(b"iref", _box(b"cdsc", struct.pack(">HHH", 2, 1, 1)), version=0)

    def described(start: int) -> bytes:
        places, at = b"", start
        for number, item in enumerate(items, 1):
            places += struct.pack(">HHHII", number, 0, 1, at, len(item))
            at += len(item)
        return _box(
            b"meta",
            _box(b"hdlr", bytes(4), b"pict", bytes(13), version=0),
            _box(b"pitm", struct.pack(">H", 1), version=0),
            _box(b"iloc", struct.pack(">BBH", 0x44, 0, len(items)), places, version=0),
            _box(b"iinf", struct.pack(">H", len(entries)), *entries, version=0),
            links,
            _box(
                b"iprp",
                _box(b"ipco", *properties),
                _box(b"ipma", struct.pack(">IHB4B", 1, 1, 4, 0x81, 2, 3, 0x84), version=0),
            ),
            version=0,
        )

    kind = _box(b"ftyp", b"heic", bytes(4), b"mif1heic")
    start = len(kind) + len(described(0)) + 8
    return kind + described(start) + _box(b"mdat", *items)
