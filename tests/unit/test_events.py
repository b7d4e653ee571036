"""Events as the journal keeps them."""

import msgspec
import pytest
from feed_script import Script, channels_of
from hypothesis import given
from hypothesis import strategies as st
from stranger_round import AMBER, Plan
from stranger_styles import STYLES, work

from collector.answer_events import AlarmAcknowledged
from collector.display import Display
from collector.events import decode, encode
from collector.lot_events import LotOpened, PhaseMarked
from collector.phases import Edge, Phase


def test_every_event_of_a_lot_comes_back_as_it_went() -> None:
    script = Script()
    work(script, STYLES["all tared"], Plan(add_c=74.0, stir_s=0.0, fill_off_g={1: -7.0}))
    events = [*script.journal(), *script.events]
    assert len({type(event) for event in events}) >= 7
    for event in events:
        assert decode(encode(event)) == event


def test_an_opened_lot_carries_all_that_its_judgment_depends_on() -> None:
    opened = LotOpened(
        at_us=1,
        bench="creek",
        lot="1",
        recipe=AMBER,
        vessels=3,
        channels=channels_of("creek-scale"),
        display=Display(temperature="degF", mass="oz"),
    )
    assert decode(encode(opened)) == opened


@given(st.integers(0, 2**53), st.text(max_size=40), st.text(max_size=200))
def test_an_event_is_the_same_bytes_every_time(at_us: int, alarm: str, note: str) -> None:
    event = AlarmAcknowledged(at_us=at_us, bench=None, lot=None, alarm=alarm, note=note)
    assert encode(event) == encode(event)
    assert decode(encode(event)) == event


def test_an_event_says_its_kind_in_the_journal() -> None:
    marked = PhaseMarked(at_us=1, bench="b", lot="1", phase=Phase.STIR, edge=Edge.BEGIN)
    assert b'"type":"phase-marked"' in encode(marked)


def test_bytes_that_are_no_event_are_refused() -> None:
    with pytest.raises(msgspec.ValidationError):
        decode(b'{"type":"lot-vanished","at_us":1,"bench":null,"lot":null}')
