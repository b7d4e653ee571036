"""Data reports of USB scales.

Status and unit codes: USB-IF, HID Point of Sale Usage Tables 1.02, section 4 (read in a public
copy). The layout of the report: two public scripts. Masses: NIST Handbook 44,
Appendix C; the avoirdupois ton of 2000 lb is from memory of the same appendix.
"""

import pytest

from collector.instruments.decoding import Rejection
from collector.instruments.hid_weighing import HidWeighingDecoder
from collector.readings import Quality, Quantity, Sample


def grams(mass_mg: int, quality: Quality = Quality.GOOD) -> Sample:
    return Sample(Quantity.MASS, mass_mg, quality)


NO_NUMBER = grams(0, Quality.BAD)

REPORTS = [
    # worked out by hand from the tables
    ("03 04 02 00 14 00", grams(20_000)),
    ("03 04 0b ff 34 19", grams(18_291_112)),  # 645.2 oz = 18291.11232 g
    ("03 04 02 ff d2 04", grams(123_400)),
    ("03 04 03 fd d2 04", grams(1_234_000)),
    ("03 04 02 01 2c 01", grams(3_000_000)),  # the exponent may be positive
    ("03 03 0c fe 2c 01", grams(1_360_777, Quality.IN_MOTION)),  # 3.00 lb = 1360.77711 g
    ("03 02 02 00 00 00", grams(0)),
    ("03 04 06 00 e8 03", grams(64_799)),  # 1000 grains = 64.79891 g
    # every other unit, one of each
    ("03 04 01 00 64 00", grams(100)),  # 100 mg
    ("03 04 04 00 64 00", grams(20_000)),  # 100 carats of 200 mg
    ("03 04 07 00 64 00", grams(155_517)),  # 100 dwt of 1.55517384 g
    ("03 04 08 fd 01 00", grams(1_000_000)),  # 0.001 t
    ("03 04 09 fd 01 00", grams(907_185)),  # 0.001 short ton of 907.18474 kg
    ("03 04 0a 00 01 00", grams(31_103)),  # 1 troy oz of 31.1034768 g
    # every other status
    ("03 01 02 00 14 00", NO_NUMBER),
    ("03 05 02 00 14 00", grams(-20_000, Quality.SUSPECT)),
    ("03 06 02 00 14 00", NO_NUMBER),
    ("03 07 02 00 14 00", grams(20_000, Quality.SUSPECT)),
    ("03 08 02 00 14 00", grams(20_000, Quality.SUSPECT)),
    # the weight has no sign: 65535, not -1
    ("03 04 02 00 ff ff", grams(65_535_000)),
]

REFUSED = [
    ("03 04 05 00 01 00", Rejection.AMBIGUOUS_UNIT),  # tael
    ("03 04 00 00 01 00", Rejection.UNKNOWN_UNIT),
    ("03 04 0d 00 01 00", Rejection.UNKNOWN_UNIT),
    ("03 00 02 00 01 00", Rejection.UNKNOWN_STATUS),
    ("03 09 02 00 01 00", Rejection.UNKNOWN_STATUS),
    ("03 04 02 7f 01 00", Rejection.OUT_OF_RANGE),
    ("03 04 02 80 01 00", Rejection.OUT_OF_RANGE),
    ("03 04 08 09 ff ff", Rejection.OUT_OF_RANGE),
    ("04 04 02 00 14 00", Rejection.OTHER_REPORT),
    ("03 04 02 00 14", Rejection.SHORT_REPORT),
    ("03", Rejection.SHORT_REPORT),
]


@pytest.mark.parametrize("padding", [b"", b"\0", bytes(58)], ids=["bare", "one byte", "64 bytes"])
@pytest.mark.parametrize(("report", "expected"), REPORTS)
def test_a_report_gives_its_sample_padded_or_not(
    report: str, expected: Sample, padding: bytes
) -> None:
    assert HidWeighingDecoder().feed(bytes.fromhex(report) + padding) == [expected]


@pytest.mark.parametrize(("report", "reason"), REFUSED)
def test_a_report_that_is_no_weight_is_counted_by_reason(report: str, reason: Rejection) -> None:
    decoder = HidWeighingDecoder()
    assert decoder.feed(bytes.fromhex(report)) == []
    assert decoder.rejected == {reason: 1}


@pytest.mark.parametrize(("report", "_expected"), REPORTS)
def test_a_report_with_junk_behind_may_be_a_wider_weight_and_is_refused(
    report: str, _expected: Sample
) -> None:
    decoder = HidWeighingDecoder()
    assert decoder.feed(bytes.fromhex(report) + b"\x01") == []
    assert decoder.rejected == {Rejection.UNKNOWN_LAYOUT: 1}


@pytest.mark.parametrize(("report", "expected"), REPORTS)
def test_pieces_of_a_report_are_never_put_together(report: str, expected: Sample) -> None:
    decoder = HidWeighingDecoder()
    pieces = [bytes([byte]) for byte in bytes.fromhex(report)]
    assert [sample for piece in pieces for sample in decoder.feed(piece)] == []
    assert decoder.rejected == {Rejection.SHORT_REPORT: len(pieces)}
    assert decoder.feed(bytes.fromhex(report)) == [expected]


def test_no_report_is_no_rejection() -> None:
    decoder = HidWeighingDecoder()
    assert decoder.feed(b"") == []
    assert not decoder.rejected
