"""Bare and status-led lines.

Both forms are common practice, no source; the examples of the project's contract are
`  123.4 g` and `ST,GS,+00123.4,g`. Factors: NIST Handbook 44, Appendix C (kg, lb 453.59237 g,
oz 28.349523125 g, troy oz 31.1034768 g, grain 64.79891 mg).
"""

import pytest
from deliveries import STREAMED, Delivery, heard

from collector.instruments.decoding import Rejection
from collector.instruments.scale_lines import scale_line_decoder
from collector.readings import Quality, Quantity, Sample


def grams(mass_mg: int, quality: Quality = Quality.GOOD) -> Sample:
    return Sample(Quantity.MASS, mass_mg, quality)


NO_NUMBER = grams(0, Quality.BAD)

READINGS = [
    # bare
    (b"  123.4 g\r\n", grams(123_400)),
    (b"123.4g\n", grams(123_400)),
    (b"+ 123.4 g\r", grams(123_400)),
    (b"-   0.5 g\r\n", grams(-500)),
    (b"-0.0 g\r\n", grams(0)),
    (b"  12. g\r\n", grams(12_000)),
    (b"   .5 g\r\n", grams(500)),
    (b"  1.234 kg\r\n", grams(1_234_000)),
    (b"  0.5 KG\r\n", grams(500_000)),
    (b"  8.00 oz\r\n", grams(226_796)),
    (b"  1.00 ozt\r\n", grams(31_103)),
    (b"  1.0 lb\r\n", grams(453_592)),
    (b" 1000 GN\r\n", grams(64_799)),
    (b"  123,4 g\r\n", grams(123_400)),
    (b"  0,123 kg\r\n", grams(123_000)),
    (b"  123.4 g ?\r\n", grams(123_400, Quality.IN_MOTION)),
    (b"\x02  123.4 g\x03\r\n", grams(123_400)),
    # led by a status
    (b"ST,GS,+00123.4,g\r\n", grams(123_400)),
    (b"ST,NT,-00012.3,g\r\n", grams(-12_300)),
    (b"ST,NT,-   12.3 g\r\n", grams(-12_300)),
    (b"ST,+00123.45  g\r\n", grams(123_450)),
    (b"ST, G, 123.4, g\r\n", grams(123_400)),
    (b"US,GS,+00123.4,g\r\n", grams(123_400, Quality.IN_MOTION)),
    (b"US,NT,-00001.2,kg\r\n", grams(-1_200_000, Quality.IN_MOTION)),
    (b"OL,GS,+99999.9,g\r\n", NO_NUMBER),
    (b"OL,+9999999E+19\r\n", NO_NUMBER),
    (b"OL\r\n", NO_NUMBER),
]

REFUSED = [
    (b"  1,234 g\r\n", Rejection.AMBIGUOUS_COMMA),
    (b"- 12,345 kg\r\n", Rejection.AMBIGUOUS_COMMA),
    (b"ST,GS,+1,234,g\r\n", Rejection.AMBIGUOUS_COMMA),
    (b"  123.4\r\n", Rejection.NOT_A_WEIGHING),
    (b"  123.4 pcs\r\n", Rejection.UNKNOWN_UNIT),
    (b"  21.5 degC\r\n", Rejection.UNKNOWN_UNIT),
    (b"  5.0 gr\r\n", Rejection.UNKNOWN_UNIT),
    (b"9999999999 t\r\n", Rejection.OUT_OF_RANGE),
    (b"  1001 t\r\n", Rejection.OUT_OF_RANGE),
    (b"12345678901 g\r\n", Rejection.NOT_A_WEIGHING),
    (b"12.3.4 g\r\n", Rejection.NOT_A_WEIGHING),
    (b"ST,TR,+00350.0,g\r\n", Rejection.TARE),
    (b"ST,QT,+00012,g\r\n", Rejection.NOT_A_WEIGHING),
    (b"ST,GS,------,g\r\n", Rejection.NOT_A_WEIGHING),
    (b"ST\r\n", Rejection.NOT_A_WEIGHING),
    (b"XX,GS,+00123.4,g\r\n", Rejection.NOT_A_WEIGHING),
    (b"GS,+00123.4,g\r\n", Rejection.NOT_A_WEIGHING),
    (b"\xb1\xb2\xb3 4.5 g\r\n", Rejection.NOT_A_WEIGHING),
]


@pytest.mark.parametrize("delivery", STREAMED.values(), ids=STREAMED)
@pytest.mark.parametrize(("line", "expected"), READINGS)
def test_a_line_gives_its_sample_however_it_arrives(
    line: bytes, expected: Sample, delivery: Delivery
) -> None:
    assert heard(scale_line_decoder("auto"), delivery(line)) == [expected]


@pytest.mark.parametrize(("line", "reason"), REFUSED)
def test_a_line_that_is_no_reading_is_counted_by_reason(line: bytes, reason: Rejection) -> None:
    decoder = scale_line_decoder("auto")
    assert heard(decoder, [line]) == []
    assert decoder.rejected == {reason: 1}


def test_a_refused_line_does_not_cost_the_next() -> None:
    decoder = scale_line_decoder("auto")
    assert heard(decoder, [b"hello\r\n  1.0 g\r\n"]) == [grams(1_000)]
    assert decoder.rejected == {Rejection.NOT_A_WEIGHING: 1}


def test_auto_follows_a_scale_whose_form_is_changed_by_its_keys() -> None:
    lines = b"  1.0 g\r\nST,GS,+00002.0,g\r\n\n 1G         3.0g  \r  4.0 g\r\n"
    assert heard(scale_line_decoder("auto"), [lines]) == [
        grams(1_000),
        grams(2_000),
        grams(3_000),
        grams(4_000),
    ]
