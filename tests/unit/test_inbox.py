import asyncio
import threading

import pytest

from collector import inbox as inbox_module
from collector.inbox import Inbox
from collector.readers.link import LinkFailed, Report, Sampled
from collector.readings import Quantity, Sample


def sampled(number: int) -> Sampled:
    return Sampled("slip-scale", number, Sample(Quantity.MASS, number))


def failed(number: int) -> LinkFailed:
    return LinkFailed("slip-scale", number, "gone", "Plug it in")


async def left_in(inbox: Inbox, reports: list[Report]) -> None:
    for report in reports:
        inbox.put(report)
    await asyncio.sleep(0)  # put hands over to the loop


@pytest.mark.asyncio
async def test_reports_of_a_thread_arrive_in_their_order() -> None:
    inbox = Inbox(asyncio.get_running_loop())
    reports: list[Report] = [sampled(n) for n in range(100)]

    def leave() -> None:
        for report in reports:
            inbox.put(report)

    thread = threading.Thread(target=leave)
    thread.start()
    taken: list[Report] = []
    while len(taken) < len(reports):
        await asyncio.wait_for(inbox.arrived.wait(), 5)
        taken += inbox.take()
    thread.join()
    assert taken == reports
    assert not inbox.arrived.is_set()


@pytest.mark.asyncio
async def test_a_full_inbox_drops_the_oldest_sample_and_counts_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(inbox_module, "CAPACITY", 3)
    inbox = Inbox(asyncio.get_running_loop())
    await left_in(inbox, [sampled(n) for n in range(5)])
    assert inbox.take() == [sampled(2), sampled(3), sampled(4)]
    assert inbox.dropped == 2


@pytest.mark.asyncio
async def test_a_full_inbox_never_drops_what_a_port_reported(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(inbox_module, "CAPACITY", 2)
    inbox = Inbox(asyncio.get_running_loop())
    await left_in(inbox, [failed(1), sampled(2), failed(3), failed(4)])
    assert inbox.take() == [failed(1), failed(3), failed(4)]
    assert inbox.dropped == 1


def test_a_report_after_the_loop_has_closed_is_counted_not_raised() -> None:
    loop = asyncio.new_event_loop()
    inbox = Inbox(loop)
    loop.close()
    inbox.put(sampled(1))
    assert inbox.dropped == 1
