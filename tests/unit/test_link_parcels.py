from collections.abc import Sequence

from collector.link.parcels import READINGS, parcels_of
from collector.readings import Quantity, Reading
from collector.senml import decode
from collector.store.consignments import Consignment

QUANTITIES = {"east-scale": Quantity.MASS}


def commit(number: int, count: int, channel: str = "east-scale") -> Consignment:
    since_us = 1_795_600_000_000_000 + number * 1_000_000
    return Consignment(
        number, tuple(Reading(channel, since_us + n * 1_000, n) for n in range(count)), ()
    )


def unpacked(consignments: Sequence[Consignment]) -> tuple[list[tuple[int, ...]], int, list[int]]:
    """Return the numbers of each message, how many readings there are, and what needs none."""
    parcels, done = parcels_of(consignments, QUANTITIES)
    count = sum(len(decode(one.payload, 0)) for one in parcels)
    return [one.numbers for one in parcels], count, done


def test_several_commits_share_a_message() -> None:
    assert unpacked([commit(1, 8), commit(2, 8), commit(3, 8)]) == ([(1, 2, 3)], 24, [])


def test_a_message_is_not_longer_than_it_may_be_and_commits_stay_whole() -> None:
    commits = [commit(1, READINGS - 8), commit(2, 8), commit(3, 1), commit(4, 2 * READINGS)]
    assert unpacked(commits) == ([(1, 2), (3,), (4,)], 3 * READINGS + 1, [])


def test_what_holds_no_reading_of_the_bench_goes_with_what_does() -> None:
    assert unpacked([commit(1, 0), commit(2, 3), commit(3, 5, "west-scale")]) == (
        [(1, 2, 3)],
        3,
        [],
    )


def test_commits_without_any_reading_of_the_bench_need_no_message() -> None:
    assert unpacked([commit(1, 0), commit(2, 5, "west-scale")]) == ([], 0, [1, 2])
    assert unpacked([]) == ([], 0, [])
