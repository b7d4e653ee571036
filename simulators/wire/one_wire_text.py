"""The text that the Linux kernel gives for a 1-Wire thermometer, with its scratchpad and CRC."""

ALARM_AND_CONFIG = bytes((0x4B, 0x46, 0x7F, 0xFF))  # alarm bytes, 12-bit resolution, reserved
CRC_POLYNOMIAL = 0x8C  # x^8 + x^5 + x^4 + 1, reflected


def crc8(data: bytes) -> int:
    """Return the 1-Wire CRC-8 of `data`: reflected, starting at zero."""
    crc = 0
    for byte in data:
        crc ^= byte
        for _ in range(8):
            crc = crc >> 1 ^ CRC_POLYNOMIAL if crc & 1 else crc >> 1
    return crc


def scratchpad(sixteenths: int) -> bytes:
    """Return the nine bytes of a thermometer at `sixteenths` of a degree Celsius.

    Byte 6 counts what is left of the degree, as genuine chips do: a true 85 °C has 0x10 there,
    the power-on value 0x0C.
    """
    register = sixteenths.to_bytes(2, "little", signed=True)
    data = register + ALARM_AND_CONFIG + bytes((0x10 - (sixteenths & 0x0F), 0x10))
    return data + bytes((crc8(data),))


def w1_slave_text(sixteenths: int) -> str:
    """Return the two lines of the kernel's `w1_slave` file.

    `t=` is in thousandths of a degree, cut off toward zero as C divides.
    """
    pad = scratchpad(sixteenths)
    millidegrees = abs(sixteenths) * 1000 // 16 * (-1 if sixteenths < 0 else 1)
    listed = pad.hex(" ")
    return f"{listed} : crc={pad[8]:02x} YES\n{listed} t={millidegrees}\n"
