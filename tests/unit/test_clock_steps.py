"""What a step of the clock is, when time may follow it, and that the order stays true."""

import math
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collector.clock_keeper import ClockKeeper
from collector.clock_steps import Move, StepWatch, Stretch, moves
from collector.service_events import ClockFoundOff

S_US = 1_000_000
MIN_US = 60 * S_US
HOUR_US = 60 * MIN_US
DAY_US = 24 * HOUR_US
NOON_US = 1_795_600_000_000_000
BENCH = "slip"


@pytest.mark.parametrize(
    ("looks", "known"),
    [
        ([HOUR_US], 0),  # one look
        ([HOUR_US, HOUR_US], HOUR_US),
        ([-HOUR_US, -HOUR_US], -HOUR_US),
        ([HOUR_US, 0, HOUR_US], 0),  # it did not last
        ([HOUR_US, 2 * HOUR_US], 0),  # two steps, each seen once
        ([HOUR_US, 2 * HOUR_US, 2 * HOUR_US], 2 * HOUR_US),
        ([500_000, 500_000], 0),  # a slip
        ([-500_000, -500_000], 0),
        ([501_000, 501_000], 501_000),
        ([600_000, 600_000, 0, 0], 0),  # put right before it was followed
        ([HOUR_US, HOUR_US, 0], HOUR_US),
        ([HOUR_US + 499, HOUR_US + 499], HOUR_US),  # whole milliseconds
    ],
)
def test_a_step_is_what_two_looks_have_seen(looks: list[int], known: int) -> None:
    watch = StepWatch(NOON_US - DAY_US)
    for off_us in looks:
        watch.look(off_us, NOON_US)
    assert (watch.known_us, watch.behind) == (known, False)


def test_a_clock_before_what_was_stored_is_behind_and_nobody_knows_the_time() -> None:
    watch = StepWatch(NOON_US)
    for _ in range(2):
        watch.look(-14 * DAY_US, NOON_US + MIN_US)
    assert (watch.known_us, watch.behind) == (0, True)
    for _ in range(2):
        watch.look(DAY_US, NOON_US + MIN_US)
    assert (watch.known_us, watch.behind) == (DAY_US, False)


START = Stretch(NOON_US - DAY_US, NOON_US)
AFTER_A_LOT = Stretch(NOON_US, NOON_US + 1)
SOON_US, ONE_US, TWO_US = NOON_US + MIN_US, NOON_US + HOUR_US, NOON_US + 2 * HOUR_US


@pytest.mark.parametrize(
    ("by_us", "now_us", "latest_us", "stretch", "move"),
    [
        # forward: at once, wherever it lies
        (HOUR_US, SOON_US, NOON_US, START, Move(NOON_US - DAY_US, SOON_US, HOUR_US)),
        (HOUR_US, SOON_US, NOON_US, AFTER_A_LOT, Move(NOON_US, SOON_US, HOUR_US)),
        # backward: not before the last event
        (-HOUR_US, SOON_US, NOON_US, START, None),
        (-HOUR_US, NOON_US + HOUR_US, NOON_US, START, None),
        (-HOUR_US, ONE_US + 1, NOON_US, START, Move(NOON_US - DAY_US, ONE_US + 1, -HOUR_US)),
        # nor to before what was stored before the start
        (-2 * DAY_US, ONE_US, NOON_US - DAY_US, START, None),
        # after a lot: once half the distances are left
        (-HOUR_US, TWO_US - 1, NOON_US, AFTER_A_LOT, None),
        (-HOUR_US, TWO_US, NOON_US, AFTER_A_LOT, Move(NOON_US, TWO_US, -HOUR_US, drawn_in=True)),
    ],
)
def test_time_follows_as_soon_as_the_order_stays(
    by_us: int, now_us: int, latest_us: int, stretch: Stretch, move: Move | None
) -> None:
    made = moves(by_us, now_us, latest_us, {BENCH: stretch})
    assert made == (None if move is None else {BENCH: move})


def test_one_bench_that_has_to_wait_holds_back_all() -> None:
    both = {"a": Stretch(NOON_US - DAY_US, NOON_US - DAY_US + 2 * HOUR_US), BENCH: AFTER_A_LOT}
    assert moves(-HOUR_US, NOON_US + HOUR_US + MIN_US, NOON_US, both) is None


def test_readings_that_are_drawn_in_keep_half_their_distance_and_the_last_its_true_time() -> None:
    move = Move(NOON_US, NOON_US + 2 * HOUR_US, -HOUR_US, drawn_in=True)
    assert move.moved(NOON_US) == NOON_US
    assert move.moved(NOON_US + HOUR_US) == NOON_US + HOUR_US // 2
    assert move.moved(NOON_US + 2 * HOUR_US) == NOON_US + HOUR_US
    assert move.moved(NOON_US + 2 * HOUR_US + 1) == NOON_US + 2 * HOUR_US + 1


def test_readings_a_microsecond_apart_do_not_meet_where_they_are_drawn_in() -> None:
    move = Move(NOON_US, NOON_US + 2 * HOUR_US, -HOUR_US, drawn_in=True)
    first = [NOON_US + n for n in (1, 2, 3)]
    middle = [NOON_US + HOUR_US + n for n in range(4)]
    last = [NOON_US + 2 * HOUR_US - n for n in (2, 1, 0)]
    places = move.places([NOON_US, *first, *middle, *last, last[-1] + 1])
    assert [places[at_us] for at_us in first] == first
    half_us = NOON_US + HOUR_US // 2
    assert [places[at_us] for at_us in middle] == [half_us + n for n in range(4)]
    assert [places[at_us] for at_us in last] == [at_us - HOUR_US for at_us in last]
    assert len(places) == 10, "what lies outside stays"


@given(
    st.integers(2, 10_000),
    st.floats(0.5, 1, exclude_max=True),
    st.lists(st.integers(1, 10_000), unique=True),
)
def test_no_two_readings_are_drawn_in_to_one_time(
    span_us: int, left: float, offsets: list[int]
) -> None:
    by_us = min(-1, math.ceil(span_us * left) - span_us)
    times = sorted(NOON_US + n for n in offsets if n <= span_us)[: span_us + by_us]
    move = Move(NOON_US, NOON_US + span_us, by_us, drawn_in=True)
    places = move.places(times)
    assert list(places) == times
    went = list(places.values())
    assert went == sorted(set(went))
    assert all(NOON_US < at_us <= NOON_US + span_us + by_us for at_us in went)
    assert all(to_us <= at_us for at_us, to_us in places.items())


# ---------------------------------------------------------------- a workshop, in small


class Shop:
    """The machine's clocks, the service's time, and what is stored of one bench."""

    def __init__(self, stored_us: int, began_us: int) -> None:
        self.service_us = began_us
        self.wall_us = began_us
        self.rows: list[tuple[int, int]] = [(stored_us, 0)]  # time taken; the order of taking
        self.events = [stored_us]
        self.lot = False
        self.told: list[ClockFoundOff] = []
        self.lot_rows: set[int] = {0}
        self.keeper = ClockKeeper(self, stored_us, [BENCH])

    speed = 1.0

    def now_us(self) -> int:
        return self.service_us

    def off_us(self) -> int:
        return self.wall_us - self.service_us

    def adopt(self, by_us: int) -> None:
        self.service_us += by_us

    def beat(self) -> None:
        self.keeper.look()
        if self.lot:
            found = self.keeper.found_off(BENCH, "1", self.service_us)
            self.told += [found] if found is not None else []
            return
        step = self.keeper.due(max(self.events))
        if step is None:
            return
        move = step.moves[BENCH]
        places = move.places(at_us for at_us, _ in self.rows)
        self.rows = [(places.get(at_us, at_us), n) for at_us, n in self.rows]
        self.keeper.follow(step.stepped)
        self.events.append(step.stepped.at_us)

    def spend(self, seconds: int) -> None:
        """Let time pass, with a reading and two looks in each of some moments."""
        for _ in range(4):
            self.service_us += seconds * S_US // 4
            self.wall_us += seconds * S_US // 4
            for later_us in (2, 1, 0):  # a chunk of samples: a microsecond apart
                n = len(self.rows)
                self.rows.append((self.service_us - later_us, n))
                if self.lot:
                    self.lot_rows.add(n)
            self.beat()
            self.service_us += S_US
            self.wall_us += S_US
            self.beat()

    def turn(self) -> None:
        """Open the lot, or close it."""
        self.service_us += 1
        self.wall_us += 1
        self.lot = not self.lot
        self.events.append(self.service_us)
        if not self.lot:
            self.keeper.closed(BENCH, self.service_us)


Deed = tuple[Literal["spend", "step", "turn"], int]
DEEDS = st.lists(
    st.one_of(
        st.tuples(st.just("spend"), st.integers(4, 20_000)),
        st.tuples(st.just("step"), st.integers(-20_000, 20_000)),
        st.tuples(st.just("turn"), st.just(0)),
    ),
    max_size=30,
)


@given(DEEDS, st.integers(1, 100_000))
def test_readings_stay_in_the_order_in_which_they_were_taken(deeds: list[Deed], gap_s: int) -> None:
    shop = Shop(NOON_US, NOON_US + gap_s * S_US)
    kept: dict[int, int] = {}
    for deed, size in deeds:
        if deed == "spend":
            shop.spend(size)
        elif deed == "step":
            shop.wall_us += size * S_US
        else:
            shop.turn()
        times = [at_us for at_us, _ in shop.rows]
        assert times == sorted(set(times))  # in order, and no two at one time
        assert times[-1] <= shop.service_us
        assert shop.events == sorted(shop.events)
        # What a lot recorded never moves.
        now_kept = {n: at_us for at_us, n in shop.rows if n in shop.lot_rows}
        assert kept.items() <= now_kept.items()
        kept = now_kept


@given(st.integers(-20_000, 20_000), st.integers(4, 20_000))
def test_after_a_step_the_time_is_the_wall_clocks_once_all_is_quiet(by_s: int, wait_s: int) -> None:
    shop = Shop(NOON_US, NOON_US + S_US)
    shop.spend(wait_s)
    shop.turn()
    shop.wall_us += by_s * S_US
    shop.spend(wait_s)
    shop.turn()
    for _ in range(4):
        shop.spend(20_000)
    if shop.keeper.state.behind:
        return
    assert abs(shop.off_us()) <= 500_000


def test_a_lot_is_told_once_by_how_much_its_times_are_wrong_and_again_when_that_changes() -> None:
    shop = Shop(NOON_US - DAY_US, NOON_US)
    shop.turn()
    shop.spend(100)
    assert shop.told == []
    shop.wall_us += HOUR_US
    shop.spend(100)
    shop.spend(100)
    assert [found.by_us for found in shop.told] == [HOUR_US]
    shop.wall_us -= 3 * HOUR_US
    shop.spend(100)
    assert [found.by_us for found in shop.told] == [HOUR_US, -2 * HOUR_US]
    shop.wall_us += 2 * HOUR_US
    shop.spend(100)
    assert [found.by_us for found in shop.told] == [HOUR_US, -2 * HOUR_US, 0]


def test_a_lot_is_told_where_nobody_knows_the_time() -> None:
    shop = Shop(NOON_US, NOON_US + 1)
    shop.wall_us -= 14 * DAY_US
    shop.turn()
    shop.spend(100)
    assert [found.by_us for found in shop.told] == [None]


@pytest.mark.parametrize(
    ("by_us", "said"),
    [
        (2 * HOUR_US, "about 120 min behind"),
        (-14 * DAY_US, "about 336 h ahead"),
        (0, None),
    ],
)
def test_the_state_says_how_wrong_the_times_are(by_us: int, said: str | None) -> None:
    shop = Shop(NOON_US - 30 * DAY_US, NOON_US)
    shop.turn()
    shop.wall_us += by_us
    shop.beat()
    shop.beat()
    sentence = shop.keeper.state.sentence
    assert (sentence is None) if said is None else (said in (sentence or ""))
