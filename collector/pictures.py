"""What a picture's first bytes say: its kind and its size. Pure; nothing is decoded.

The kind is told by the bytes alone, never by what a sender calls them.
"""

from collections.abc import Callable
from enum import StrEnum

import msgspec

from collector.errors import PictureError

MOST_BYTES = 4_000_000
"""The largest picture that is kept. One of 1,600 pixels as the page sends it has some 400 kB."""

MOST_PIXELS = 50_000_000
"""More would take a screen over 200 MB to show, at four bytes a pixel."""

Size = tuple[int, int] | None
"""Width and height in pixels; None where it cannot be told."""


class MediaType(StrEnum):
    """The kinds of pictures that are kept, as IANA registers them."""

    JPEG = "image/jpeg"
    PNG = "image/png"
    WEBP = "image/webp"

    @property
    def ending(self) -> str:
        """How the name of such a file usually ends."""
        return {"jpeg": "jpg"}.get(self.name.lower(), self.name.lower())


class Picture(msgspec.Struct, frozen=True):
    """What is known of a picture; pixels are None where it does not say."""

    media_type: MediaType
    width: int | None = None
    height: int | None = None


def recognize(body: bytes) -> Picture:
    """Return what a picture's bytes say of it.

    Raises PictureError where it is none that is kept, or too large.
    """
    for media_type, is_it, size_of in _KINDS:
        if is_it(body):
            width, height = size_of(body) or (None, None)
            return _bounded(Picture(media_type, width, height), len(body))
    raise PictureError(
        "These bytes are no picture that is kept: a photograph is JPEG, PNG or WebP, whatever its"
        " name says. Save it as one of these and send it again."
    )


def _bounded(picture: Picture, size: int) -> Picture:
    pixels = (picture.width or 0) * (picture.height or 0)
    if size > MOST_BYTES:
        raise PictureError(
            f"The picture has {size:,} bytes, and at most {MOST_BYTES:,} are kept. Make it"
            " smaller and send it again."
        )
    if pixels > MOST_PIXELS:
        raise PictureError(
            f"The picture has {pixels:,} pixels, and at most {MOST_PIXELS:,} are kept. Make it"
            " smaller and send it again."
        )
    return picture


# ---------------------------------------------------------------- PNG, ISO/IEC 15948 (W3C PNG)


def _is_png(body: bytes) -> bool:
    return body.startswith(b"\x89PNG\r\n\x1a\n")  # clause 5.2


def _png_size(body: bytes) -> Size:
    """The first chunk is IHDR, width and height its first eight bytes (clause 11.2.2)."""
    if body[12:16] != b"IHDR" or len(body) < 24:
        return None
    return int.from_bytes(body[16:20]), int.from_bytes(body[20:24])


# ---------------------------------------------------------------- JPEG, ITU-T T.81


def _is_jpeg(body: bytes) -> bool:
    return body.startswith(b"\xff\xd8\xff")  # SOI and the next marker, annex B.1


_NO_FRAME = frozenset({0xC4, 0xC8, 0xCC})  # DHT, JPG, DAC lie among the SOF markers, table B.1
_ALONE = frozenset({0x01, *range(0xD0, 0xD8)})  # TEM and RSTm have no length
_SCAN = 0xDA


def _jpeg_size(body: bytes) -> Size:
    """Go from marker to marker up to the frame header (annex B.2.2): precision, lines, samples."""
    at = 2
    while at + 9 <= len(body) and body[at] == 0xFF:
        marker = body[at + 1]
        if marker == 0xFF:  # a fill byte
            at += 1
        elif marker in _ALONE:
            at += 2
        elif 0xC0 <= marker <= 0xCF and marker not in _NO_FRAME:
            return int.from_bytes(body[at + 7 : at + 9]), int.from_bytes(body[at + 5 : at + 7])
        elif marker == _SCAN:
            return None
        else:
            at += 2 + int.from_bytes(body[at + 2 : at + 4])
    return None


# ---------------------------------------------------------------- WebP, RFC 9649


def _is_webp(body: bytes) -> bool:
    return body[:4] == b"RIFF" and body[8:12] == b"WEBP"  # section 2.4


def _webp_size(body: bytes) -> Size:
    """The first chunk says it: VP8X (2.7), VP8 (RFC 6386, 9.1) or VP8L (3.4)."""
    head = body[20:30]
    if len(head) < 10:
        return None
    if body[12:16] == b"VP8X":
        return _little(head[4:7]) + 1, _little(head[7:10]) + 1
    if body[12:16] == b"VP8L":
        bits = _little(head[1:5])
        return (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    if body[12:16] == b"VP8 ":
        return _little(head[6:8]) & 0x3FFF, _little(head[8:10]) & 0x3FFF
    return None


def _little(data: bytes) -> int:
    return int.from_bytes(data, "little")


_KINDS: tuple[tuple[MediaType, Callable[[bytes], bool], Callable[[bytes], Size]], ...] = (
    (MediaType.JPEG, _is_jpeg, _jpeg_size),
    (MediaType.PNG, _is_png, _png_size),
    (MediaType.WEBP, _is_webp, _webp_size),
)
