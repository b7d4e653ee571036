"""The kernel's text of a 1-Wire thermometer.

Format and the rule for a failed conversion: Linux Documentation/w1/slaves/w1_therm.rst and
Documentation/ABI/testing/sysfs-driver-w1_therm. Register values: DS18B20 data sheet, table of
temperature and data. Rows marked "derived" follow from it with the kernel's truncation to zero.
"""

import pytest

from collector.instruments.decoding import Rejection
from collector.instruments.w1_thermometer import crc8, decode_w1_slave
from collector.readings import Quality, Quantity, Sample


def answer(scratchpad: str, mdegc: int, *, verdict: str = "YES", kept: str | None = None) -> bytes:
    crc = scratchpad[-2:]
    text = f"{scratchpad} : crc={crc} {verdict}\n{kept or scratchpad} t={mdegc}\n"
    return text.encode()


def with_crc(eight: str) -> str:
    return f"{eight} {crc8(bytes.fromhex(eight)):02x}"


READINGS = [
    ("5e 01 ff ff 7f ff ff ff 52", 21_875),  # public thread; a chip that is no genuine one
    ("8d 01 4b 46 7f ff 03 10 03", 24_812),  # public thread; 24.8125 truncated
    ("72 01 4b 46 7f ff 0e 10 57", 23_125),  # from memory; the checksum was computed apart
    ("6f fe 4b 46 7f ff 01 10 61", -25_062),  # derived
    ("f8 ff 4b 46 7f ff 08 10 f8", -500),  # derived
    (with_crc("50 05 4b 46 7f ff 10 10"), 85_000),  # data sheet: 0550 is +85
    (with_crc("d0 07 4b 46 7f ff 10 10"), 125_000),  # data sheet: 07D0 is +125
    (with_crc("90 fc 4b 46 7f ff 10 10"), -55_000),  # data sheet: FC90 is -55
    (with_crc("00 00 4b 46 7f ff 10 10"), 0),  # data sheet: 0000 is 0
]

REFUSED = [
    (answer("50 05 4b 46 7f ff 0c 10 1c", 85_000), Rejection.POWER_ON),
    (answer("ff 07 4b 46 7f ff 0c 10 a6", 127_937), Rejection.WEAK_POWER),
    (answer("00 00 00 00 00 00 00 00 00", 0), Rejection.DEAD_LINE),
    (answer(with_crc("60 0a 4b 46 7f ff 10 10"), 166_000), Rejection.OUT_OF_RANGE),
    (answer("8d 01 4b 46 7f ff 03 10 04", 24_812, verdict="NO"), Rejection.CHECKSUM),
    (answer("8d 01 4b 46 7f ff 03 10 04", 24_812), Rejection.CHECKSUM),
    (answer("ff ff ff ff ff ff ff ff ff", -62, verdict="NO"), Rejection.CHECKSUM),
    (
        answer("8d 01 4b 46 7f ff 03 10 03", 21_875, kept="5e 01 ff ff 7f ff ff ff 52"),
        Rejection.STALE,
    ),
    (b"", Rejection.EMPTY),
    (b"\n", Rejection.EMPTY),
    (b"8d 01 4b 46 7f ff 03 10 03 : crc=03 YES\n", Rejection.MALFORMED),
    (answer("8d 01 4b 46 7f ff 03 10 03", 24_812) + b"junk", Rejection.MALFORMED),
    (answer("8d 01 4b 46 7f ff 03 10 03", 24_812).replace(b"t=", b"t=x"), Rejection.MALFORMED),
    (b"\xff\xfe\x00" * 30, Rejection.MALFORMED),
]


@pytest.mark.parametrize(
    ("message", "checksum"),
    [
        ("02 1c b8 01 00 00 00", 0xA2),  # Maxim application note 27, from memory
        ("12 12 a2 14 5f 12 aa 12", 0x6D),  # public forum of a data logger maker
    ],
)
def test_the_checksum_agrees_with_published_examples(message: str, checksum: int) -> None:
    data = bytes.fromhex(message)
    assert crc8(data) == checksum
    assert crc8(data + bytes([checksum])) == 0


@pytest.mark.parametrize(("scratchpad", "mdegc"), READINGS)
def test_a_good_answer_is_a_temperature(scratchpad: str, mdegc: int) -> None:
    assert decode_w1_slave(answer(scratchpad, mdegc)) == Sample(Quantity.TEMPERATURE, mdegc)


@pytest.mark.parametrize(("text", "reason"), REFUSED)
def test_a_bad_answer_is_named(text: bytes, reason: Rejection) -> None:
    assert decode_w1_slave(text) is reason


@pytest.mark.parametrize(("scratchpad", "mdegc"), READINGS)
def test_an_answer_cut_anywhere_is_no_temperature(scratchpad: str, mdegc: int) -> None:
    whole = answer(scratchpad, mdegc)
    first_digit = whole.index(b"t=") + len(b"t=") + 1
    cut = [decode_w1_slave(whole[:end]) for end in range(first_digit)]
    assert {Rejection.EMPTY, Rejection.MALFORMED} == set(cut)


@pytest.mark.parametrize("place", range(72))
def test_any_single_flipped_bit_fails_the_checksum(place: int) -> None:
    scratchpad = bytearray.fromhex("8d 01 4b 46 7f ff 03 10 03")
    scratchpad[place // 8] ^= 1 << place % 8
    assert decode_w1_slave(answer(scratchpad.hex(" "), 24_812)) is Rejection.CHECKSUM


def test_eighty_five_degrees_of_a_chip_with_a_constant_byte_6_is_suspect() -> None:
    text = answer(with_crc("50 05 ff ff 7f ff ff ff"), 85_000)
    assert decode_w1_slave(text) == Sample(Quantity.TEMPERATURE, 85_000, Quality.SUSPECT)
