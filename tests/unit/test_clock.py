"""The service's own time: steady whatever the wall clock does, and told where it is wrong."""

import time
from pathlib import Path

from collector.clock import CorrectableClock, FollowedClock, SystemClock, synchronized

HOUR_US = 3_600_000_000


class Machine:
    """A wall clock and a time since the start of the machine, in the hands of a test."""

    def __init__(self) -> None:
        self.wall = 1_795_600_000_000_000
        self.boot = 5_000_000

    def clock(self) -> SystemClock:
        return SystemClock(lambda: self.wall, lambda: self.boot)

    def pass_us(self, us: int) -> None:
        self.wall += us
        self.boot += us


def test_time_begins_at_the_wall_clock_and_goes_on_by_the_steady_one() -> None:
    machine = Machine()
    clock = machine.clock()
    began_us = machine.wall
    assert clock.now_us() == began_us
    machine.pass_us(1_500_000)
    assert clock.now_us() == began_us + 1_500_000
    assert clock.off_us() == 0


def test_a_step_of_the_wall_clock_moves_no_time_but_is_told() -> None:
    machine = Machine()
    clock = machine.clock()
    before_us = clock.now_us()
    machine.wall -= HOUR_US
    assert clock.now_us() == before_us
    assert clock.off_us() == -HOUR_US


def test_time_that_follows_a_step_is_the_wall_clocks_again() -> None:
    machine = Machine()
    clock = machine.clock()
    machine.wall += HOUR_US
    clock.adopt(clock.off_us())
    assert clock.now_us() == machine.wall
    assert clock.off_us() == 0


def test_the_real_sources_tell_utc() -> None:
    clock = SystemClock()
    before_us, now_us, after_us = time.time_ns() // 1000, clock.now_us(), time.time_ns() // 1000
    assert before_us - 1000 <= now_us <= after_us + 1000
    assert abs(clock.off_us()) < 1000


def test_only_the_machines_clock_can_be_corrected(tmp_path: Path) -> None:
    (tmp_path / "clock").write_bytes(bytes(8))
    assert isinstance(SystemClock(), CorrectableClock)
    assert not isinstance(FollowedClock(tmp_path / "clock", 20.0), CorrectableClock)


def test_a_clock_is_known_to_be_set_by_the_file_that_timesyncd_leaves(tmp_path: Path) -> None:
    folder = tmp_path / "timesync"
    assert synchronized(folder) is None
    folder.mkdir()
    assert synchronized(folder) is False
    (folder / "synchronized").touch()
    assert synchronized(folder) is True
