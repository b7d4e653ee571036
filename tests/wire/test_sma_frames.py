"""Frames of SMA SCP-0499 (1999, Mod 1 of 2005), standard response message.

The rows marked "printed" are the examples that manuals reprint from the standard; pounds by
NIST Handbook 44, Appendix C. The other rows follow from its table of fields.
"""

import pytest
from deliveries import STREAMED, Delivery, heard

from collector.instruments.decoding import Rejection
from collector.instruments.scale_lines import scale_line_decoder
from collector.readings import Quality, Quantity, Sample


def grams(mass_mg: int, quality: Quality = Quality.GOOD) -> Sample:
    return Sample(Quantity.MASS, mass_mg, quality)


NO_NUMBER = grams(0, Quality.BAD)

FRAMES = [
    (b"\n 1G       5.025lb \r", grams(2_279_302)),  # printed: reply to W
    (b"\n 1g      5.0025lb \r", grams(2_269_096)),  # printed: reply to H
    (b"\nZ1G       0.000lb \r", grams(0)),  # printed: reply to Z
    (b"\n 1GM      7.650kg \r", grams(7_650_000, Quality.IN_MOTION)),  # printed: reply to R
    (b"\n 1G       7.650kg \r", grams(7_650_000)),  # printed: reply to R
    (b"\n 1N       123.4g  \r", grams(123_400)),
    (b"\n 2n     -12.345g  \r", grams(-12_345)),
    (b"\n 1N  -   12.3  g  \r", grams(-12_300)),
    (b"\n 1G       1.000ozt\r", grams(31_103)),
    (b"\n 1G       123.4g\r", grams(123_400)),
    (b"\nU1G     -20.000g  \r", grams(-20_000, Quality.SUSPECT)),
    (b"\nU1GM    -20.000g  \r", grams(-20_000, Quality.SUSPECT)),
    (b"\nO1G    6100.0  g  \r", NO_NUMBER),
    (b"\nE1G  ----------g  \r", NO_NUMBER),
    (b"\nI1G  ----------   \r", NO_NUMBER),
    (b"\nT1N  ----------kg \r", NO_NUMBER),
    (b"\n 1G  ----------   \r", NO_NUMBER),
]

REFUSED = [
    (b"\n?\r", Rejection.REFUSED_COMMAND),
    (b"\n 1T       350.0g  \r", Rejection.TARE),
    (b"\n 1G       5,025lb \r", Rejection.NOT_A_WEIGHING),
    (b"\n 1G       12..3g  \r", Rejection.NOT_A_WEIGHING),
    (b"\n 1G       123.4pcs\r", Rejection.UNKNOWN_UNIT),
    (b"\n 1X       123.4g  \r", Rejection.NOT_A_WEIGHING),
    (b"\nSMA:2/1.0\r", Rejection.NOT_A_WEIGHING),
]


@pytest.mark.parametrize("line_format", ["sma", "auto"])
@pytest.mark.parametrize("delivery", STREAMED.values(), ids=STREAMED)
@pytest.mark.parametrize(("frame", "expected"), FRAMES)
def test_a_frame_gives_its_sample_however_it_arrives(
    frame: bytes, expected: Sample, delivery: Delivery, line_format: str
) -> None:
    assert heard(scale_line_decoder(line_format), delivery(frame)) == [expected]


@pytest.mark.parametrize("line_format", ["sma", "auto"])
@pytest.mark.parametrize(("frame", "reason"), REFUSED)
def test_a_frame_that_is_no_reading_is_counted_by_reason(
    frame: bytes, reason: Rejection, line_format: str
) -> None:
    decoder = scale_line_decoder(line_format)
    assert heard(decoder, [frame]) == []
    assert decoder.rejected == {reason: 1}


def test_a_scale_set_to_sma_takes_nothing_else() -> None:
    decoder = scale_line_decoder("sma")
    assert heard(decoder, [b"  123.4 g\r\n"]) == []
    assert decoder.rejected == {Rejection.NOT_A_WEIGHING: 1}


def test_the_first_whole_frame_after_opening_counts() -> None:
    decoder = scale_line_decoder("sma")
    decoder.reset()
    assert decoder.feed(b"25lb \r\n 1G       5.025lb \r") == [grams(2_279_302)]
