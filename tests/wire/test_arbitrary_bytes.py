"""Whatever comes over a wire: no decoder raises, none hoards, all give storable numbers."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collector.instruments.decoding import Rejection
from collector.instruments.hid_weighing import HidWeighingDecoder
from collector.instruments.line_buffer import MAX_LINE_BYTES
from collector.instruments.masses import MAX_MASS_MG
from collector.instruments.scale_lines import scale_line_decoder
from collector.instruments.w1_thermometer import crc8, decode_w1_slave
from collector.readings import Quality, Sample

FORMATS = ["auto", "sma", r"(?P<value>.*?)(?P<unit>[a-z]*)(?P<stable>!)?"]

_PARTS = st.sampled_from(
    [b"ST,", b"US,", b"OL,", b"GS,", b" 1G ", b"\n", b"\r", b" g", b"kg", b"-", b"+", b"9" * 300]
)
CHUNKS = st.lists(st.one_of(st.binary(max_size=40), _PARTS, st.just(b"1,23.4")), max_size=30)
unhurried = settings(deadline=None)  # the first unit of a run makes the table of units


def w1_answer(eight: bytes, mdegc: int) -> bytes:
    scratchpad = bytes([*eight, crc8(eight)]).hex(" ")
    return f"{scratchpad} : crc={scratchpad[-2:]} YES\n{scratchpad} t={mdegc}\n".encode()


W1_ANSWER = st.builds(w1_answer, st.binary(min_size=8, max_size=8), st.integers(-200_000, 200_000))


def storable(sample: Sample) -> bool:
    blank = sample.quality is not Quality.BAD or sample.value == 0
    return blank and abs(sample.value) <= MAX_MASS_MG


@pytest.mark.parametrize("line_format", FORMATS)
@unhurried
@given(chunks=CHUNKS)
def test_a_line_decoder_takes_any_bytes(line_format: str, chunks: list[bytes]) -> None:
    decoder = scale_line_decoder(line_format)
    decoder.quiet()
    for chunk in chunks:
        assert all(storable(sample) for sample in decoder.feed(chunk))
        assert decoder.held_back <= MAX_LINE_BYTES


@pytest.mark.parametrize("line_format", FORMATS)
@unhurried
@given(chunks=CHUNKS)
def test_samples_do_not_depend_on_how_the_bytes_are_cut(
    line_format: str, chunks: list[bytes]
) -> None:
    in_chunks, at_once = scale_line_decoder(line_format), scale_line_decoder(line_format)
    in_chunks.quiet()
    at_once.quiet()
    samples = [sample for chunk in chunks for sample in in_chunks.feed(chunk)]
    assert samples == at_once.feed(b"".join(chunks))
    assert in_chunks.rejected == at_once.rejected


@unhurried
@given(report=st.binary(max_size=70))
def test_the_hid_decoder_takes_any_report(report: bytes) -> None:
    decoder = HidWeighingDecoder()
    samples = decoder.feed(report)
    assert all(storable(sample) for sample in samples)
    assert len(samples) + decoder.rejected.total() == bool(report)


@unhurried
@given(fields=st.binary(min_size=5, max_size=5))
def test_the_hid_decoder_takes_any_data_report(fields: bytes) -> None:
    decoder = HidWeighingDecoder()
    samples = decoder.feed(b"\x03" + fields)
    assert all(storable(sample) for sample in samples)
    assert len(samples) + decoder.rejected.total() == 1


@unhurried
@given(text=st.binary(max_size=200))
def test_the_thermometer_decoder_takes_any_text(text: bytes) -> None:
    assert isinstance(decode_w1_slave(text), Rejection)


@unhurried
@given(text=W1_ANSWER)
def test_the_thermometer_decoder_takes_any_well_formed_answer(text: bytes) -> None:
    decoded = decode_w1_slave(text)
    assert isinstance(decoded, Rejection) or -55_000 <= decoded.value <= 125_000
