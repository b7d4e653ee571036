"""Digital 1-Wire thermometers as the Linux kernel shows them: the text of `w1_slave`.

    50 05 4b 46 7f ff 10 10 bd : crc=bd YES
    50 05 4b 46 7f ff 10 10 bd t=85000

Source: Linux `Documentation/w1/slaves/w1_therm.rst` and the ABI text `sysfs-driver-w1_therm`.
The first line holds the nine bytes just read and whether their checksum holds; the second the
bytes of the last good read with the temperature in 0.001 °C, which the kernel works out for
each family of chip.
"""

import re

from collector.instruments.decoding import Decoded, Rejection
from collector.readings import Quality, Quantity, Sample

_ANSWER = re.compile(
    r"\s*(?P<read>(?:[0-9a-fA-F]{2} ){9}): crc=[0-9a-fA-F]{2} (?P<verdict>YES|NO)\s+"
    r"(?P<kept>(?:[0-9a-fA-F]{2} ){9})t=(?P<mdegc>-?\d{1,7})\s*",
    re.ASCII,
)

_RANGE_MDEGC = range(-55_000, 125_001)  # DS18B20 data sheet: -55 to +125 °C

_POWER_ON_MDEGC = 85_000
_WEAK_POWER_MDEGC = 127_937
_NOT_CONVERTED = 0x0C  # byte 6 until the first conversion is done
_WHOLE_DEGREE = 0x10  # byte 6 of a genuine chip is 16 less the sixteenths of a degree

_POLYNOMIAL = 0x8C  # x^8 + x^5 + x^4 + 1, reflected


def crc8(data: bytes) -> int:
    """Return the 1-Wire checksum; zero over data with its own checksum behind it.

    Source: Maxim application note 27.
    """
    crc = 0
    for byte in data:
        crc ^= byte
        for _ in range(8):
            crc = (crc >> 1) ^ (_POLYNOMIAL if crc & 1 else 0)
    return crc


def decode_w1_slave(data: bytes) -> Decoded:
    """Return the temperature that one read of `w1_slave` gives, or why it gives none."""
    text = data.decode("ascii", errors="replace")
    if not text.strip():
        return Rejection.EMPTY
    answer = _ANSWER.fullmatch(text)
    if answer is None:
        return Rejection.MALFORMED
    scratchpad = bytes.fromhex(answer["read"])
    if answer["verdict"] == "NO" or crc8(scratchpad) != 0:
        return Rejection.CHECKSUM
    if scratchpad != bytes.fromhex(answer["kept"]):
        return Rejection.STALE
    return _temperature(scratchpad, int(answer["mdegc"]))


def _temperature(scratchpad: bytes, mdegc: int) -> Decoded:
    if not any(scratchpad):  # a line held low has a valid checksum
        return Rejection.DEAD_LINE
    if mdegc == _WEAK_POWER_MDEGC:
        return Rejection.WEAK_POWER
    if mdegc == _POWER_ON_MDEGC:
        return _eighty_five(scratchpad[6])
    if mdegc not in _RANGE_MDEGC:
        return Rejection.OUT_OF_RANGE
    return Sample(Quantity.TEMPERATURE, mdegc)


def _eighty_five(byte_6: int) -> Decoded:
    """Tell a wax at 85 °C from a probe that woke up and has measured nothing.

    Chips that are no genuine ones keep byte 6 constant: theirs can be either, and is SUSPECT.
    """
    if byte_6 == _NOT_CONVERTED:
        return Rejection.POWER_ON
    quality = Quality.GOOD if byte_6 == _WHOLE_DEGREE else Quality.SUSPECT
    return Sample(Quantity.TEMPERATURE, _POWER_ON_MDEGC, quality)
