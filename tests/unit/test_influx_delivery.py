"""A batch with bad lines in it: the bad ones are named, all others arrive."""

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collector.store.influx.answers import RefusedError, UnreachableError
from collector.store.influx.delivery import MOST_POINTS, deliver


class PickyServer:
    """Refuses lines that begin with "bad"; `keeps_rest` is what it does with the others then."""

    def __init__(self, *, keeps_rest: bool = True, tells: bool = False) -> None:
        self.written: set[str] = set()
        self.requests: list[int] = []
        self._keeps_rest = keeps_rest
        self._tells = tells

    def write(self, lines: Sequence[str]) -> None:
        self.requests.append(len(lines))
        good = {line for line in lines if not line.startswith("bad")}
        if len(good) == len(lines):
            self.written |= good
            return
        if self._keeps_rest:
            self.written |= good
        raise RefusedError("no", len(lines) - len(good) if self._tells else None)


@given(st.lists(st.sampled_from(["good", "bad"]), max_size=40), st.booleans(), st.booleans())
def test_the_bad_lines_are_named_and_the_good_ones_arrive(
    kinds: list[str], keeps_rest: bool, tells: bool
) -> None:
    lines = [f"{kind} {n}" for n, kind in enumerate(kinds)]
    server = PickyServer(keeps_rest=keeps_rest, tells=tells)
    refused = deliver(server.write, lines)
    assert refused == [(line, "no") for line in lines if line.startswith("bad")]
    assert server.written == {line for line in lines if line.startswith("good")}


def test_one_bad_line_among_thousands_takes_a_handful_of_requests() -> None:
    lines = [f"good {n}" for n in range(MOST_POINTS)]
    lines[1234] = "bad"
    server = PickyServer()
    assert deliver(server.write, lines) == [("bad", "no")]
    assert len(server.requests) <= 1 + 2 * 13  # 2**13 > 5000


def test_no_request_is_larger_than_servers_are_advised_to_get() -> None:
    server = PickyServer()
    assert deliver(server.write, [f"good {n}" for n in range(2 * MOST_POINTS + 1)]) == []
    assert server.requests == [MOST_POINTS, MOST_POINTS, 1]


def test_a_server_that_refuses_every_single_one_is_asked_once() -> None:
    server = PickyServer(tells=True)
    assert len(deliver(server.write, [f"bad {n}" for n in range(100)])) == 100
    assert server.requests == [100]


def test_a_server_that_goes_away_half_way_is_told_of() -> None:
    def write(lines: Sequence[str]) -> None:
        if len(lines) == 1:
            raise UnreachableError("gone")
        raise RefusedError("no")

    with pytest.raises(UnreachableError):
        deliver(write, ["a", "b"])
