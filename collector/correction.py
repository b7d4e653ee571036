"""What a calibration makes of a shown value: one line, in whole numbers."""

import msgspec

UNITY_PPB = 1_000_000_000
"""A gain of one, in parts per billion: of 30 kg one part is 0.03 mg, less than can be kept."""


class Point(msgspec.Struct, frozen=True):
    """What an instrument showed where the true value was known.

    Both are in the resolution of the instrument's quantity; `of` says in words what was measured.
    """

    reference: int
    shown: int
    of: str = ""


class Correction(msgspec.Struct, frozen=True):
    """A line through shown values: `gain * shown + offset`, rounded half to even to `step`.

    `gain_ppb` is positive, so that a larger shown value never becomes the smaller one.
    """

    offset: int
    gain_ppb: int
    step: int = 1

    def apply(self, shown: int) -> int:
        """Return the corrected value."""
        top = shown * self.gain_ppb + self.offset * UNITY_PPB
        return rounded(top, UNITY_PPB * self.step) * self.step

    def shown_of(self, corrected: int) -> int:
        """Return what the instrument showed, as far as rounding tells: one step either way."""
        top = (corrected - self.offset) * UNITY_PPB
        return rounded(top, self.gain_ppb * self.step) * self.step


def rounded(top: int, bottom: int) -> int:
    """Divide by a positive number, rounding half to even."""
    whole, rest = divmod(top, bottom)
    beyond_half = 2 * rest - bottom
    return whole + (beyond_half > 0 or (beyond_half == 0 and whole % 2 == 1))
