"""Which times are spared, and which evidence may be gone."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collector.conclusions import Evidence
from collector.events import AnyEvent
from collector.lot_events import LotClosed, LotKept, LotReleased
from collector.service_events import ReadingsExpired
from collector.store.event_audit import Expiries
from collector.store.retention import EVER_US, SparedSpans

LOT = "2026-11-25-3"
TIMES = st.integers(0, 60)


@given(st.lists(st.tuples(TIMES, TIMES).map(sorted), max_size=6), TIMES, TIMES, TIMES)
def test_a_span_touches_what_is_spared_where_they_share_a_time(
    lots: list[list[int]], one: int, other: int, before_us: int
) -> None:
    spared = SparedSpans((start, end) for start, end in lots)
    times = {time for start, end in lots for time in range(start, end + 1)}
    first, last = min(one, other), max(one, other)
    assert spared.touch(first, last) == bool(times.intersection(range(first, last + 1)))
    assert [t for t in range(before_us) if not spared.at(t)[0]] == [
        time for time in range(before_us) if time not in times
    ]


@given(st.lists(st.tuples(TIMES, TIMES).map(sorted), max_size=6), TIMES)
def test_what_holds_for_a_time_holds_up_to_the_last_one_told(
    lots: list[list[int]], time: int
) -> None:
    spared = SparedSpans((start, end) for start, end in lots)
    held, last = spared.at(time)
    assert all(spared.at(t)[0] is held for t in range(time, min(last, 99) + 1))
    assert last == EVER_US or spared.at(last + 1)[0] is not held


def test_a_lot_that_is_open_spares_all_from_its_beginning_on() -> None:
    spared = SparedSpans([(10, None), (12, 20)])
    assert spared.touch(0, 10)
    assert spared.touch(EVER_US, EVER_US)
    assert not spared.touch(0, 9)
    assert spared.at(9) == (False, 9)
    assert spared.at(10) == (True, EVER_US)


def closed() -> LotClosed:
    return LotClosed(at_us=50, bench="pier", lot=LOT)


def kept() -> LotKept:
    return LotKept(at_us=60, bench="pier", lot=LOT)


def released() -> LotReleased:
    return LotReleased(at_us=70, bench="pier", lot=LOT)


def expired(before_us: int) -> ReadingsExpired:
    return ReadingsExpired(at_us=90, bench=None, lot=None, before_us=before_us, readings=5)


@pytest.mark.parametrize(
    ("events", "gone"),
    [
        ([closed(), expired(31)], True),
        ([closed(), expired(30)], False),  # from 30 on nothing was removed
        ([expired(31), closed()], False),  # it was open then
        ([expired(31)], False),
        ([closed(), kept(), expired(31)], False),
        ([kept(), closed(), expired(31)], False),
        ([closed(), expired(31), kept()], True),  # kept when it was too late
        ([closed(), kept(), expired(31), released()], False),
        ([closed(), kept(), released(), expired(31)], True),
        ([closed(), kept(), expired(31), released(), expired(20)], False),
        ([closed(), expired(20), expired(40), expired(25)], True),
        ([closed()], False),
    ],
)
def test_evidence_may_be_gone_where_its_lot_was_not_spared(
    events: list[AnyEvent], gone: bool
) -> None:
    evidence = Evidence(channel="pier-scale", from_us=30, to_us=35, readings=4)
    assert Expiries(events).cover(LOT, evidence) is gone
