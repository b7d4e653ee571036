"""Lines by the owner's own regular expression. No source: the owner's word is the standard."""

import pytest
from deliveries import STREAMED, Delivery, heard

from collector.instruments.decoding import Rejection
from collector.instruments.pattern_lines import line_pattern
from collector.instruments.scale_lines import scale_line_decoder
from collector.readings import Quality, Quantity, Sample

PATTERN = r"W:(?P<stable>S)? *(?P<value>[-+0-9., ]+?) *(?P<unit>[a-z]+)"

LINES = [
    (b"W:S 123.4 g\r\n", Sample(Quantity.MASS, 123_400)),
    (b"  W:S 123.4 g  \r\n", Sample(Quantity.MASS, 123_400)),
    (b"W:S -0.5 g\r\n", Sample(Quantity.MASS, -500)),
    (b"W: 123.4 g\r\n", Sample(Quantity.MASS, 123_400, Quality.IN_MOTION)),
    (b"W:S 0,5 kg\r\n", Sample(Quantity.MASS, 500_000)),
]


@pytest.mark.parametrize("delivery", STREAMED.values(), ids=STREAMED)
@pytest.mark.parametrize(("line", "expected"), LINES)
def test_a_matching_line_gives_its_sample_however_it_arrives(
    line: bytes, expected: Sample, delivery: Delivery
) -> None:
    assert heard(scale_line_decoder(PATTERN), delivery(line)) == [expected]


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        (b"123.4 g\r\n", Rejection.NOT_A_WEIGHING),
        (b"W:S 123.4 g and more\r\n", Rejection.NOT_A_WEIGHING),
        (b"W:S 1-2 g\r\n", Rejection.NOT_A_WEIGHING),
        (b"W:S 1,234 g\r\n", Rejection.AMBIGUOUS_COMMA),
        (b"W:S 123.4 qq\r\n", Rejection.UNKNOWN_UNIT),
    ],
)
def test_a_line_that_does_not_fit_is_counted_by_reason(line: bytes, reason: Rejection) -> None:
    decoder = scale_line_decoder(PATTERN)
    assert heard(decoder, [line]) == []
    assert decoder.rejected == {reason: 1}


def test_a_pattern_without_a_sign_never_turns_a_negative_weight_positive() -> None:
    decoder = scale_line_decoder(r"(?P<value>[0-9.]+) *(?P<unit>[a-z]+)")
    assert heard(decoder, [b"-12.3 g\r\n"]) == []


def test_without_a_stable_group_every_line_is_taken_as_settled() -> None:
    decoder = scale_line_decoder(r"(?P<value>[0-9.]+) *(?P<unit>[a-z]+)")
    assert heard(decoder, [b"12.3 g\r\n"]) == [Sample(Quantity.MASS, 12_300)]


def test_groups_that_took_no_part_are_no_reading() -> None:
    decoder = scale_line_decoder(r"(?P<value>[0-9.]+)?(?P<unit>[a-z]+)?!")
    assert heard(decoder, [b"!\n5!\n"]) == []
    assert decoder.rejected == {Rejection.NOT_A_WEIGHING: 1, Rejection.UNKNOWN_UNIT: 1}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("(?P<value>[0-9", "not a regular expression"),
        ("(?P<value>[0-9.]+) g", r"lacks \(\?P<unit>"),
        ("[0-9.]+ g", r"lacks \(\?P<value>\.\.\.\) and \(\?P<unit>"),
    ],
)
def test_an_unusable_pattern_is_refused_with_a_sentence(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        line_pattern(text)
    with pytest.raises(ValueError, match=words):
        scale_line_decoder(text)
