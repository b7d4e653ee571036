"""Sealed readings: a span of one channel as three compressed arrays, and back. Pure.

Compression is pcodec's standalone format (https://github.com/pcodec/pcodec), lossless for any
64-bit integers. Readings that were sealed must come back as they were or not at all, so a block
carries two checks. CRC-32 of the stored bytes (as in ISO 3309) is compared before the codec sees
them: of damaged bytes it makes wrong numbers without a word more often than an error. SHA-256 of
the numbers (NIST FIPS 180-4) is compared after it, so that a codec which reads an old block
otherwise is noticed too.
"""

import zlib
from datetime import datetime, timedelta
from hashlib import sha256

import msgspec
import numpy as np
from numpy.typing import NDArray
from pcodec import ChunkConfig
from pcodec.standalone import simple_compress, simple_decompress

from collector.errors import StoreError
from collector.store.records import ReadingSpan

BLOCK_READINGS = 8192
"""Readings in a full block. Measured: from here on the codec sees the steps of a display in the
values (0.3 to 0.4 bytes each, 0.6 to 0.7 in blocks of 4,096), twice as many win another 1 %. At
2 Hz that is 68 minutes, decoded in 0.1 ms."""

_EPOCH = datetime(1970, 1, 1)  # noqa: DTZ001 - written with a Z, and only written


class Block(msgspec.Struct, frozen=True):
    """A sealed span as its table holds it; times are UTC microseconds."""

    first_us: int
    last_us: int
    count: int
    crc: int
    digest: bytes
    times: bytes
    amounts: bytes
    qualities: bytes


def pack(span: ReadingSpan) -> Block:
    """Return a span, which must not be empty, as a block."""
    stored = (_packed(span.times), _packed(span.values), _packed_flags(span.flags))
    first_us, last_us = int(span.times[0]), int(span.times[-1])
    return Block(first_us, last_us, len(span.times), _crc(*stored), _digest(span), *stored)


def unpack(block: Block, channel: str) -> ReadingSpan:
    """Return what a block holds.

    Raises StoreError, naming the channel and the span, where it is not what was sealed.
    """
    times = unpack_times(block, channel)
    try:
        flags = _unpacked_flags(block.qualities, block.count)
        span = ReadingSpan(times, _unpacked(block.amounts), flags)
    except (RuntimeError, ValueError, TypeError) as error:
        raise damaged(block, channel, f"they cannot be decoded, {error}") from error
    if len(span.values) != block.count or len(flags) != block.count:
        raise damaged(block, channel, f"there are not {block.count} of them")
    if _digest(span) != block.digest:
        raise damaged(block, channel, "they are not those that were sealed")
    return span


def unpack_times(block: Block, channel: str) -> NDArray[np.int64]:
    """Return only when a block's readings were taken. Raises StoreError as `unpack` does."""
    if _crc(block.times, block.amounts, block.qualities) != block.crc:
        raise damaged(block, channel, "their bytes were changed after they were written")
    try:
        times = _unpacked(block.times)
    except (RuntimeError, TypeError) as error:
        raise damaged(block, channel, f"they cannot be decoded, {error}") from error
    ends = (block.count, block.first_us, block.last_us)
    if not len(times) or (len(times), times[0], times[-1]) != ends:
        raise damaged(block, channel, "their times do not fit that span")
    return times


def damaged(block: Block, channel: str, why: str) -> StoreError:
    """Return the error of a block that cannot be used."""
    first, last = (_utc(time_us) for time_us in (block.first_us, block.last_us))
    return StoreError(
        f"The sealed readings of {channel} from {first} to {last} are damaged: {why}."
        " Run pourkeep verify, and restore the last backup."
    )


def _utc(time_us: int) -> str:
    try:
        time = _EPOCH + timedelta(microseconds=time_us)
    except OverflowError:
        return f"{time_us} us"
    return f"{time.isoformat(timespec='milliseconds')}Z"


def _packed(numbers: NDArray[np.int64] | NDArray[np.uint16]) -> bytes:
    return bytes(simple_compress(np.ascontiguousarray(numbers), ChunkConfig()))


def _unpacked(stored: bytes) -> NDArray[np.int64]:
    numbers = simple_decompress(stored)
    if numbers is None:
        return np.empty(0, np.int64)
    return np.asarray(numbers).astype(np.int64, casting="safe", copy=False)


def _packed_flags(flags: NDArray[np.uint8]) -> bytes:
    """Pack qualities: a single byte where all are equal, which no packed array is."""
    if bool((flags == flags[0]).all()):
        return bytes([int(flags[0])])
    return _packed(flags.astype(np.uint16))  # the codec advises against 8 bits


def _unpacked_flags(stored: bytes, count: int) -> NDArray[np.uint8]:
    if len(stored) == 1:
        return np.full(count, stored[0], np.uint8)
    return _unpacked(stored).astype(np.uint8)


def _crc(*stored: bytes) -> int:
    crc = 0
    for part in stored:
        crc = zlib.crc32(part, crc)
    return crc


def _digest(span: ReadingSpan) -> bytes:
    numbers = sha256(span.times.astype("<i8", copy=False).tobytes())
    numbers.update(span.values.astype("<i8", copy=False).tobytes())
    numbers.update(span.flags.tobytes())
    return numbers.digest()
