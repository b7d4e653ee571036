"""A decoder for instruments that send lines of text."""

from collections import Counter
from collections.abc import Callable

from collector.instruments.decoding import Decoded, Rejection
from collector.instruments.line_buffer import LineBuffer
from collector.readings import Sample

_FRAMING = "\x00\x02\x03"
"""NUL from a noisy line, and STX and ETX, which some scales put around each line."""


class LineDecoder:
    """Cuts lines and has each decoded by the function given at construction."""

    def __init__(self, decode_line: Callable[[str], Decoded]) -> None:
        self._decode_line = decode_line
        self._buffer = LineBuffer()
        self._refused: Counter[str] = Counter()

    @property
    def rejected(self) -> Counter[str]:
        """How many lines were no sample, by `Rejection`."""
        refused = Counter(dict(self._refused))  # copied in one step: the reader's thread adds
        refused[Rejection.OVERLONG.value] += self._buffer.overlong
        return +refused

    @property
    def held_back(self) -> int:
        """Bytes waiting for the end of their line."""
        return len(self._buffer)

    def feed(self, data: bytes) -> list[Sample]:
        """Return the samples of the lines that these bytes complete."""
        decoded = [self._decode(line) for line in self._buffer.cut(data)]
        self._refused.update(item.value for item in decoded if isinstance(item, Rejection))
        return [item for item in decoded if isinstance(item, Sample)]

    def reset(self) -> None:
        """Forget what is half received, and drop the rest of the line that comes next."""
        self._buffer.reset()

    def quiet(self) -> None:
        """Learn that the line was silent: if nothing came since `reset`, a whole line follows."""
        self._buffer.quiet()

    def _decode(self, line: bytes) -> Decoded:
        return self._decode_line(line.decode("ascii", errors="replace").strip(_FRAMING))
