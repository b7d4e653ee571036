import pytest

from collector.late import LAG_US
from collector.link.bench_state import CUT_OFF, STOPPED, BenchState, InstrumentLink
from collector.link.presence import QUIET_US, BenchPresence, Moment
from collector.readers.link import LinkFailed, LinkOpened

S_US = 1_000_000
NOW_US = 1_795_600_000 * S_US


def presence() -> BenchPresence:
    return BenchPresence("east", {"scale": "east-scale", "jug": "east-jug"})


def at(now_us: int, steady_us: int | None = None) -> Moment:
    return Moment(now_us, now_us if steady_us is None else steady_us)


def online(at_us: int, *lost: str) -> BenchState:
    links = tuple(InstrumentLink(name, "lost", "it was unplugged", "Plug it in") for name in lost)
    return BenchState(state="online", at_us=at_us, instruments=links)


def names(changes: list[LinkFailed | LinkOpened]) -> list[str]:
    return [change.instrument for change in changes]


def reason(changes: list[LinkFailed | LinkOpened]) -> str:
    (said,) = {change.reason for change in changes if isinstance(change, LinkFailed)}
    return said


def opened(changes: list[LinkFailed | LinkOpened]) -> list[str]:
    return [change.instrument for change in changes if isinstance(change, LinkOpened)]


def test_a_bench_that_tells_its_state_is_there_and_is_said_so_once() -> None:
    made = presence()
    assert made.tick(at(NOW_US)) == []
    assert made.told(online(NOW_US), at(NOW_US)) == [
        LinkOpened("east-scale", NOW_US - LAG_US),
        LinkOpened("east-jug", NOW_US - LAG_US),
    ]
    assert made.told(online(NOW_US), at(NOW_US)) == []


def test_readings_alone_show_that_a_device_is_there_and_it_may_be_slow() -> None:
    made = presence()
    assert opened(made.heard(at(NOW_US))) == ["east-scale", "east-jug"]
    assert made.heard(at(NOW_US + S_US)) == []
    assert made.tick(at(NOW_US + 10 * QUIET_US)) == []


@pytest.mark.parametrize("state", [CUT_OFF, STOPPED])
def test_a_bench_that_goes_takes_its_instruments_along_until_it_is_back(state: BenchState) -> None:
    made = presence()
    made.told(online(NOW_US), at(NOW_US))
    gone = made.told(state, at(NOW_US))
    assert names(gone) == ["east-scale", "east-jug"]
    assert reason(gone) == f"bench east is offline: {state.reason}"
    assert opened(made.told(online(NOW_US), at(NOW_US))) == ["east-scale", "east-jug"]


def test_a_bench_that_was_gone_at_the_start_is_known_by_what_is_retained() -> None:
    assert reason(presence().told(CUT_OFF, at(NOW_US), retained=True)).startswith(
        "bench east is off"
    )


def test_a_bench_that_tells_nothing_for_too_long_is_gone() -> None:
    made = presence()
    made.told(online(NOW_US), at(NOW_US))
    assert made.tick(at(NOW_US + QUIET_US - 1)) == []
    gone = made.tick(at(NOW_US + QUIET_US))
    assert reason(gone) == "bench east is offline: it has told nothing for 8 s"
    assert made.tick(at(NOW_US + QUIET_US + S_US)) == []


def test_readings_keep_a_bench_there() -> None:
    made = presence()
    made.told(online(NOW_US), at(NOW_US))
    made.heard(at(NOW_US + QUIET_US - S_US))
    assert made.tick(at(NOW_US + QUIET_US)) == []


HOUR_US = 3600 * S_US


@pytest.mark.parametrize("by_us", [HOUR_US, -HOUR_US])
def test_a_step_of_the_clock_neither_makes_a_silence_nor_hides_one(by_us: int) -> None:
    made = presence()
    made.told(online(NOW_US), at(NOW_US, 0))
    assert made.tick(at(NOW_US + by_us, S_US)) == []
    made.heard(at(NOW_US + by_us, 2 * S_US))
    assert made.tick(at(NOW_US, 3 * S_US)) == []
    gone_us = NOW_US + by_us + 2 * S_US
    gone = made.tick(at(gone_us, 2 * S_US + QUIET_US))
    assert reason(gone) == "bench east is offline: it has told nothing for 8 s"
    assert [change.at_us for change in gone] == [gone_us - LAG_US] * 2


def test_one_instrument_that_is_lost_there_is_lost_here() -> None:
    made = presence()
    made.told(online(NOW_US), at(NOW_US))
    assert made.told(online(NOW_US, "jug"), at(NOW_US)) == [
        LinkFailed("east-jug", NOW_US - LAG_US, "it was unplugged", "Plug it in")
    ]
    assert opened(made.told(online(NOW_US), at(NOW_US))) == ["east-jug"]


@pytest.mark.parametrize(
    ("apart_s", "words"), [(-14, "14 s behind"), (6, "6 s ahead of"), (-300, "about 5 min behind")]
)
def test_clocks_that_differ_are_told_after_three_looks(apart_s: int, words: str) -> None:
    made = presence()
    theirs_us = apart_s * S_US
    assert opened(made.told(online(NOW_US + theirs_us), at(NOW_US)))
    assert made.told(online(NOW_US + theirs_us), at(NOW_US)) == []
    said = made.told(online(NOW_US + theirs_us), at(NOW_US))
    assert reason(said) == f"the clock of bench east is {words} this machine's"
    assert all(change.remedy for change in said if isinstance(change, LinkFailed))
    assert opened(made.told(online(NOW_US), at(NOW_US))) == ["east-scale", "east-jug"]


def test_a_message_that_was_under_way_for_long_says_nothing_about_clocks() -> None:
    made = presence()
    for _ in range(3):
        made.told(online(NOW_US - 9 * S_US), at(NOW_US), retained=True)
    made.told(online(NOW_US - 9 * S_US), at(NOW_US))
    made.told(online(NOW_US - 9 * S_US), at(NOW_US))
    made.told(online(NOW_US - 2 * S_US), at(NOW_US))
    assert made.told(online(NOW_US - 9 * S_US), at(NOW_US)) == []


def test_without_a_broker_nothing_is_known_of_any_bench() -> None:
    made = presence()
    made.told(online(NOW_US), at(NOW_US))
    cut = made.cut("nothing listens there", "Start it.", NOW_US)
    assert reason(cut) == "this machine has no connection to the broker: nothing listens there"
    assert made.cut("nothing listens there", "Start it.", NOW_US + S_US) == []
    made.restored()
    assert opened(made.told(online(NOW_US), at(NOW_US))) == ["east-scale", "east-jug"]
