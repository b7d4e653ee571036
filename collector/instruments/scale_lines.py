"""The lines of a serial scale, by the `format` of workshop.toml."""

from collector.instruments.decoding import Decoded, Rejection
from collector.instruments.line_decoder import LineDecoder
from collector.instruments.pattern_lines import pattern_line_decoder
from collector.instruments.plain_scale_lines import decode_bare, decode_status_led
from collector.instruments.sma_frames import decode_sma, decode_sma_only

_KNOWN_FORMS = (decode_status_led, decode_sma, decode_bare)
"""No line fits two of them: a status is two capitals, a frame's second character is a digit
and its third a letter, and a bare line ends with a unit behind nothing but its number."""


def decode_known_line(line: str) -> Decoded:
    """Return what a line says in whichever form is known.

    Each line is tried anew: a scale whose form is changed by its keys needs no restart.
    """
    for decode in _KNOWN_FORMS:
        decoded = decode(line)
        if decoded is not None:
            return decoded
    return Rejection.NOT_A_WEIGHING


_BY_FORMAT = {"auto": decode_known_line, "sma": decode_sma_only}


def scale_line_decoder(line_format: str) -> LineDecoder:
    """Return a decoder for `auto`, `sma` or a regular expression.

    Raises ValueError with a sentence where the regular expression cannot be used.
    """
    return LineDecoder(_BY_FORMAT.get(line_format) or pattern_line_decoder(line_format))
