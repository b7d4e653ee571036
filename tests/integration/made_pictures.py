"""Pictures for the tests, made here: a whole PNG, and what tells a JPEG and a WebP."""

import struct
import zlib


def png(width: int = 40, height: int = 30, shade: int = 128) -> bytes:
    """Return a grey PNG that every viewer opens (W3C PNG, clauses 5.3, 11.2 and 13)."""
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    rows = b"".join(
        b"\0" + bytes((shade + x + y) % 256 for x in range(width)) for y in range(height)
    )
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(rows)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(kind, data) for kind, data in chunks)


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def heavy_png(size: int) -> bytes:
    """Return a PNG of about so many bytes: the rest of it is noise after its end."""
    start = png()
    return start + b"\x5a" * (size - len(start))


def jpeg_head(width: int, height: int, frame: int = 0xC0) -> bytes:
    """Return a JPEG up to its scan: SOI, JFIF, a table, a frame header (T.81, annex B)."""
    jfif = b"\xff\xe0" + struct.pack(">H", 16) + b"JFIF\0\x01\x02\0\0\x48\0\x48\0\0"
    table = b"\xff\xff\xc4" + struct.pack(">H", 19) + bytes(17)  # with a fill byte before it
    frame_head = struct.pack(">HBHHB", 17, 8, height, width, 3) + bytes(9)
    return b"\xff\xd8" + jfif + table + bytes((0xFF, frame)) + frame_head


def webp(kind: bytes, data: bytes) -> bytes:
    """Return a WebP of one chunk (RFC 9649, 2.3 and 2.4)."""
    body = b"WEBP" + kind + struct.pack("<I", len(data)) + data
    return b"RIFF" + struct.pack("<I", len(body)) + body
