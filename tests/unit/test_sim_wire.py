"""The bytes of the simulated instruments against published frames and tables."""

import pytest

from simulators.physics.pan import Display
from simulators.wire.hid_report import data_report
from simulators.wire.one_wire_text import crc8, scratchpad, w1_slave_text
from simulators.wire.serial_scales import bare_line, sma_frame, status_line


def display(
    grams: float,
    *,
    stable: bool = True,
    overload: bool = False,
    tared: bool = False,
    resolution_g: float = 0.1,
) -> Display:
    return Display(grams, stable, overload, tared, resolution_g)


def test_a_bare_line_is_mass_and_unit() -> None:
    assert bare_line(display(123.4)) == b"  123.4 g\r\n"
    assert bare_line(display(-0.1)) == b"   -0.1 g\r\n"
    assert bare_line(display(123.0, resolution_g=1.0)) == b"    123 g\r\n"
    assert bare_line(display(0.0, overload=True)) == b"     OL\r\n"


# Lines of the form that the project's plan names; common practice, no source.
@pytest.mark.parametrize(
    ("shown", "line"),
    [
        (display(123.4), b"ST,GS,+00123.4,g\r\n"),
        (display(123.4, stable=False), b"US,GS,+00123.4,g\r\n"),
        (display(-1534.8, tared=True), b"ST,NT,-01534.8,g\r\n"),
        (display(9.0, overload=True), b"OL,GS,+99999.9,g\r\n"),
        (display(123.0, resolution_g=1.0), b"ST,GS,+0000123,g\r\n"),
    ],
)
def test_a_status_line_leads_with_what_the_scale_thinks(shown: Display, line: bytes) -> None:
    assert status_line(shown) == line


# SMA SCP-0499: <LF>, status, range, gross or net, motion, future, 10 of weight, 3 of unit, <CR>.
@pytest.mark.parametrize(
    ("shown", "frame"),
    [
        (display(123.4), b"\n 1G       123.4g  \r"),
        (display(0.0), b"\nZ1G         0.0g  \r"),
        (display(-5.0, stable=False, tared=True), b"\n 1NM       -5.0g  \r"),
        (display(6100.0, overload=True), b"\nO1G      6100.0g  \r"),
    ],
)
def test_an_sma_frame_has_its_fields_in_their_places(shown: Display, frame: bytes) -> None:
    assert sma_frame(shown) == frame
    assert len(frame) == 1 + 5 + 10 + 3 + 1


# HID POS usage tables 1.02, section 4: unit 2 is the gram, exponent is signed, status 2 zero,
# 3 in motion, 4 stable, 5 under zero, 6 over limit.
@pytest.mark.parametrize(
    ("shown", "report"),
    [
        (display(123.4), "03 04 02 ff d2 04"),
        (display(0.0), "03 02 02 ff 00 00"),
        (display(123.4, stable=False), "03 03 02 ff d2 04"),
        (display(-0.5), "03 05 02 ff 05 00"),
        (display(9000.0), "03 04 02 00 28 23"),
        (display(6100.0, overload=True), "03 06 02 ff 48 ee"),
    ],
)
def test_a_hid_report_carries_status_unit_exponent_and_magnitude(
    shown: Display, report: str
) -> None:
    assert data_report(shown).hex(" ") == report


# Maxim application note 27 (first, from memory) and a published example (second).
@pytest.mark.parametrize(
    ("data", "crc"), [("02 1c b8 01 00 00 00", 0xA2), ("12 12 a2 14 5f 12 aa 12", 0x6D)]
)
def test_the_crc_is_the_one_of_1_wire(data: str, crc: int) -> None:
    raw = bytes.fromhex(data)
    assert crc8(raw) == crc
    assert crc8(raw + bytes((crc,))) == 0


# Whole scratchpads as the kernel's w1_therm gives them; the kernel's documentation and posted
# readings. `t=` is cut off toward zero, as C divides.
@pytest.mark.parametrize(
    ("sixteenths", "pad", "millidegrees"),
    [
        (0x018D, "8d 01 4b 46 7f ff 03 10 03", 24812),
        (0x0172, "72 01 4b 46 7f ff 0e 10 57", 23125),
        (-401, "6f fe 4b 46 7f ff 01 10 61", -25062),
        (-8, "f8 ff 4b 46 7f ff 08 10 f8", -500),
    ],
)
def test_the_kernel_text_shows_scratchpad_crc_and_thousandths(
    sixteenths: int, pad: str, millidegrees: int
) -> None:
    crc = pad[-2:]
    expected = f"{pad} : crc={crc} YES\n{pad} t={millidegrees}\n"
    assert w1_slave_text(sixteenths) == expected


def test_a_true_85_degrees_does_not_look_like_the_power_on_value() -> None:
    # The kernel's w1_therm takes 85.000 with 0x0C in byte 6 for a failed conversion.
    pad = scratchpad(85 * 16)
    assert pad[:2] == b"\x50\x05"
    assert pad[6] != 0x0C
