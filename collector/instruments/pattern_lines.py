"""Lines of a scale that only its owner knows, by a regular expression from workshop.toml.

The pattern has the groups `value` and `unit`, and may have `stable`. It must describe the whole
line (blanks at its ends aside): a pattern that found its number anywhere would lose the minus
that stands before it.
"""

import re
from collections.abc import Callable

from collector.instruments.decoding import Decoded, Rejection
from collector.instruments.masses import NUMBER, decimal_of, mass_sample
from collector.readings import Quality

_NEEDED = ("value", "unit")
_NUMBER = re.compile(rf"\s*{NUMBER}\s*", re.ASCII)


def line_pattern(text: str) -> re.Pattern[str]:
    """Return the pattern that `text` describes.

    Raises ValueError with a sentence for the owner of the file where it is no regular
    expression or lacks a group.
    """
    try:
        pattern = re.compile(text)
    except re.error as error:
        raise ValueError(
            f"{text!r} is not a regular expression: {error.msg} at character {_place(error)}"
        ) from error
    missing = [name for name in _NEEDED if name not in pattern.groupindex]
    if missing:
        groups = " and ".join(f"(?P<{name}>...)" for name in missing)
        raise ValueError(f"{text!r} lacks {groups}: name the part of the line that it stands for")
    return pattern


def pattern_line_decoder(text: str) -> Callable[[str], Decoded]:
    """Return a function that decodes one line by the pattern `text`.

    Where the pattern has a group `stable`, a line in which it is absent or empty is in motion.
    Raises ValueError as `line_pattern` does.
    """
    pattern = line_pattern(text)
    flags_motion = "stable" in pattern.groupindex

    def decode_line(line: str) -> Decoded:
        found = pattern.fullmatch(line) or pattern.fullmatch(line.strip())
        if found is None:
            return Rejection.NOT_A_WEIGHING
        settled = not flags_motion or bool(found["stable"])
        return _weighing(found, Quality.GOOD if settled else Quality.IN_MOTION)

    return decode_line


def _weighing(found: re.Match[str], quality: Quality) -> Decoded:
    value = found["value"] or ""
    if not _NUMBER.fullmatch(value):
        return Rejection.NOT_A_WEIGHING
    number = decimal_of(value)
    if isinstance(number, Rejection):
        return number
    return mass_sample(number, found["unit"] or "", quality)


def _place(error: re.error) -> int:
    return (error.pos or 0) + 1
