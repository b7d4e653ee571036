import json

import pytest

from collector.errors import PackError
from collector.instrument_config import InstrumentConfig, SerialScale
from collector.instrument_state import InstrumentState
from collector.link.bench_state import (
    CUT_OFF,
    MAX_BYTES,
    MOST_WORDS,
    STOPPED,
    BenchState,
    InstrumentLink,
    decode,
)
from collector.readings import Role

SCALE = InstrumentState(
    InstrumentConfig("east-scale", "east", Role.SCALE, SerialScale("/dev/ttyUSB0"))
)


def test_an_instrument_is_told_with_its_reason_and_remedy() -> None:
    lost = SCALE.lost("it was unplugged", "Plug it in")
    state = BenchState(
        state="online", version="1", at_us=2, since_us=1, waiting=0,
        instruments=(InstrumentLink.of(lost),),
    )  # fmt: skip
    assert json.loads(state.encode()) == {
        "state": "online",
        "version": "1",
        "at_us": 2,
        "since_us": 1,
        "waiting": 0,
        "instruments": [
            {
                "name": "east-scale",
                "state": "lost",
                "reason": "it was unplugged",
                "remedy": "Plug it in",
            }
        ],
    }
    assert decode(state.encode()) == state


@pytest.mark.parametrize("state", [CUT_OFF, STOPPED])
def test_a_bench_that_is_gone_says_why(state: BenchState) -> None:
    assert decode(state.encode()) == state
    assert not state.online
    assert state.reason


def test_what_a_later_version_adds_does_not_matter() -> None:
    assert decode(b'{"state":"online","battery":3}').online


@pytest.mark.parametrize(
    "data",
    [
        *(b"", b"[]", b'{"state":"asleep"}', b"\xff", b"[" * 60_000, b" " * (MAX_BYTES + 1)),
        *(b'{"state":"online","at_us":9223372036854775807}', b'{"state":"online","at_us":-1}'),
    ],
)
def test_what_is_no_state_is_refused(data: bytes) -> None:
    with pytest.raises(PackError):
        decode(data)


def test_words_from_outside_fit_into_a_line() -> None:
    state = decode(b'{"state":"offline","reason":"x\\nz' + b"y" * 50_000 + b'"}')
    assert state.reason is not None
    assert state.reason.startswith("x zy")
    assert len(state.reason) == MOST_WORDS
