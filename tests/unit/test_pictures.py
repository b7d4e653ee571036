"""What a picture's first bytes say, held against the layouts of the published formats."""

import struct
from pathlib import Path

import pytest
from made_pictures import heavy_png, jpeg_head, png, webp

import dashboards
from collector.errors import PictureError
from collector.pictures import MOST_BYTES, MediaType, Picture, recognize

# A picture that Chromium wrote; its size is what the README's taker of pictures asks for.
BENCH = Path(dashboards.__file__).parent / "pictures" / "bench.png"

# W3C PNG (third edition), 5.2: the signature in decimal is 137 80 78 71 13 10 26 10.
SIGNATURE = bytes((137, 80, 78, 71, 13, 10, 26, 10))


def test_a_png_is_told_by_its_signature_and_its_first_chunk() -> None:
    assert png().startswith(SIGNATURE)
    assert recognize(png(40, 30)) == Picture(MediaType.PNG, 40, 30)


def test_a_png_of_a_browser_is_told_with_its_size() -> None:
    found = recognize(BENCH.read_bytes())
    assert (found.media_type, found.width) == (MediaType.PNG, 1440)


@pytest.mark.parametrize("frame", [0xC0, 0xC1, 0xC2, 0xC9])  # T.81, table B.1
def test_a_jpeg_says_its_size_in_its_frame_header(frame: int) -> None:
    assert recognize(jpeg_head(1600, 1200, frame)) == Picture(MediaType.JPEG, 1600, 1200)


@pytest.mark.parametrize(
    ("kind", "data", "size"),
    [
        # RFC 9649, 2.7: flags, reserved, and 24 bits each of the canvas' width and height less one
        (b"VP8X", bytes(4) + b"\x3f\x06\x00" + b"\xaf\x04\x00", (1600, 1200)),
        # RFC 6386, 9.1: a frame tag, a start code, and 14 bits each under 2 bits of scale
        (b"VP8 ", bytes(3) + b"\x9d\x01\x2a" + struct.pack("<HH", 1600, 1200), (1600, 1200)),
        # RFC 9649, 3.4: a signature, then 14 bits each of width and height less one
        (b"VP8L", b"\x2f" + struct.pack("<I", 1599 | 1199 << 14) + bytes(5), (1600, 1200)),
    ],
)
def test_a_webp_says_its_size_in_its_first_chunk(
    kind: bytes, data: bytes, size: tuple[int, int]
) -> None:
    assert recognize(webp(kind, data)) == Picture(MediaType.WEBP, *size)


@pytest.mark.parametrize(
    "body",
    [
        jpeg_head(9, 9)[:25],
        b"\xff\xd8\xff\xda\x00\x08",
        SIGNATURE,
        SIGNATURE + bytes(30),
        webp(b"VP8X", b""),
        webp(b"ALPH", bytes(20)),
    ],
)
def test_a_picture_that_does_not_say_its_size_is_kept_without(body: bytes) -> None:
    found = recognize(body)
    assert (found.width, found.height) == (None, None)


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"a shopping list called pour.jpg",
        b"GIF89a" + bytes(40),
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"<!doctype html>",
        b"\xff\xd8",
        SIGNATURE[:7],
        b"RIFF\x04\x00\x00\x00WAVE",
    ],
)
def test_what_is_none_of_the_three_is_refused_whatever_it_is_called(body: bytes) -> None:
    with pytest.raises(PictureError, match="JPEG, PNG or WebP"):
        recognize(body)


def test_a_picture_that_is_too_large_is_refused_with_the_numbers() -> None:
    assert recognize(heavy_png(MOST_BYTES)).width == 40
    with pytest.raises(PictureError, match=r"4,000,001 bytes, and at most 4,000,000"):
        recognize(heavy_png(MOST_BYTES + 1))
    with pytest.raises(PictureError, match=r"50,005,000 pixels, and at most 50,000,000"):
        recognize(jpeg_head(10_001, 5_000))
