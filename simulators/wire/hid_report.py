"""The data report of a USB HID scale (HID POS usage tables 1.02, usage page 0x8D)."""

import struct

from simulators.physics.pan import Display

DATA_REPORT_ID = 3
GRAM = 0x02
TENTHS = -1

ZERO, IN_MOTION, STABLE, UNDER_ZERO, OVER_LIMIT = 2, 3, 4, 5, 6


def data_report(display: Display) -> bytes:
    """Return six bytes: report id, status, unit, signed exponent, magnitude low and high.

    Tenths of a gram while they fit into 16 bits, whole grams above. The magnitude is unsigned:
    a mass under zero shows only in the status.
    """
    tenths = round(abs(display.grams) * 10)
    exponent, magnitude = (TENTHS, tenths) if tenths <= 0xFFFF else (0, round(tenths / 10))
    status = _status(display)
    return struct.pack("<BBBbH", DATA_REPORT_ID, status, GRAM, exponent, min(magnitude, 0xFFFF))


def _status(display: Display) -> int:
    """Return the status usage, the most urgent one first."""
    conditions = (
        (display.overload, OVER_LIMIT),
        (display.grams < 0, UNDER_ZERO),
        (not display.stable, IN_MOTION),
        (display.grams == 0, ZERO),
    )
    return next((status for holds, status in conditions if holds), STABLE)
