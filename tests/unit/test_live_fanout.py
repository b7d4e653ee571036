from itertools import count

import pytest

from collector.live import MOST, QUEUE, Live, Notice, Screen, Shown
from collector.readings import Channel, Reading, Role

SOON_S = 0.01
SCALE = Channel("slip-scale", "slip", Role.SCALE, None)
POT = Channel("slip-pot", "slip", Role.POT, None)


def shown(taken_us: int, channel: Channel = SCALE) -> Shown:
    return Shown(channel, Reading(channel.name, taken_us, 100))


async def heard(screen: Screen) -> list[Notice]:
    """Return what waits for a screen."""
    notices = []
    async for notice in screen.notices(SOON_S):
        if notice is None:
            break
        notices.append(notice)
    return notices


@pytest.mark.asyncio
async def test_every_screen_hears_what_is_told_while_it_takes_part() -> None:
    live = Live()
    live.tell(shown(1))
    with live.screen() as first:
        live.tell(shown(2))
        with live.screen() as second:
            live.tell(shown(3))
            assert await heard(first) == [shown(2), shown(3)]
            assert await heard(second) == [shown(3)]
            assert live.screens == 2
    assert live.screens == 0


@pytest.mark.asyncio
async def test_every_reading_between_two_refreshes_is_told_once() -> None:
    live = Live()
    with live.screen() as screen:
        for taken_us in range(MOST):
            live.show(shown(taken_us))
        live.refresh()
        live.refresh()
        assert await heard(screen) == [shown(taken_us) for taken_us in range(MOST)]


@pytest.mark.asyncio
async def test_too_many_readings_of_a_channel_become_its_latest_and_it_says_how_many() -> None:
    live = Live()
    with live.screen() as screen:
        for taken_us in range(MOST + 1):
            live.show(shown(taken_us))
        live.show(shown(2, POT))
        live.refresh()
        latest = shown(MOST)
        assert await heard(screen) == [shown(2, POT), Shown(SCALE, latest.reading, skipped=MOST)]


@pytest.mark.asyncio
async def test_a_refresh_tells_in_the_order_of_time_whoever_spoke_first() -> None:
    live = Live()
    with live.screen() as screen:
        live.show(shown(1, SCALE))
        live.show(shown(3, SCALE))
        live.show(shown(2, POT))
        live.refresh()
        assert await heard(screen) == [shown(1, SCALE), shown(2, POT), shown(3, SCALE)]


@pytest.mark.asyncio
async def test_what_was_read_while_nobody_looked_is_not_kept_for_the_next_screen() -> None:
    live = Live()
    live.show(shown(1))
    with live.screen() as screen:
        live.refresh()
        assert await heard(screen) == []


@pytest.mark.asyncio
async def test_a_screen_that_lags_is_let_go_and_the_others_stay() -> None:
    live = Live()
    with live.screen() as slow, live.screen() as quick:
        for number in range(QUEUE):
            live.tell(shown(number))
        assert len(await heard(quick)) == QUEUE
        assert not slow.lagging.is_set()
        live.tell(shown(QUEUE))
        assert slow.lagging.is_set()
        assert await heard(slow) == []
        assert await heard(quick) == [shown(QUEUE)]


@pytest.mark.asyncio
async def test_a_quiet_time_is_told_as_none() -> None:
    live, numbers = Live(), count(1)
    with live.screen() as screen:
        async for notice in screen.notices(SOON_S):
            assert notice is None
            if next(numbers) == 3:
                return
