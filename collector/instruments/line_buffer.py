"""Cuts a stream of bytes into lines."""

import re

MAX_LINE_BYTES = 256
"""More than twice the longest line that a serial scale sends in one piece (about 100 bytes with
date, time and both weights: common practice, no source), and small enough that a port full of
noise costs nothing."""

_LINE_END = re.compile(rb"[\r\n]")


class LineBuffer:
    """Lines end with CR, LF or CRLF; empty ones do not count.

    After `reset` the bytes up to the next line end are dropped: a port is opened in mid-line as
    often as not, and the tail of `1123.4 g` is a plausible weight. A scale that was silent first
    (`quiet`) begins with a whole line, so that one sent by its print key is not lost.
    """

    def __init__(self) -> None:
        self._tail = b""
        self._dropping = True
        self._heard = False
        self.overlong = 0

    def __len__(self) -> int:
        """Bytes held back, at most `MAX_LINE_BYTES`."""
        return len(self._tail)

    def reset(self) -> None:
        """Drop what is held back, and the rest of the line that comes next."""
        self._tail = b""
        self._dropping = True
        self._heard = False

    def quiet(self) -> None:
        """Take the next byte as the first of a line, if none came since `reset`."""
        if not self._heard:
            self._dropping = False

    def cut(self, data: bytes) -> list[bytes]:
        """Return the lines that `data` completes, without their ends.

        A line over `MAX_LINE_BYTES` is dropped whole and counted once in `overlong`.
        """
        self._heard = self._heard or bool(data)
        *ended, self._tail = _LINE_END.split(self._tail + data)
        if ended and self._dropping:
            del ended[0]
            self._dropping = False
        self._hold_back()
        lines = [line for line in ended if 0 < len(line) <= MAX_LINE_BYTES]
        self.overlong += sum(len(line) > MAX_LINE_BYTES for line in ended)
        return lines

    def _hold_back(self) -> None:
        if self._dropping:
            self._tail = b""
        elif len(self._tail) > MAX_LINE_BYTES:
            self.overlong += 1
            self._tail = b""
            self._dropping = True
