import resource
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from store_samples import SCALE, START_US, alarm_raised, lot_opened, scale_readings, weighing

from collector.errors import StoreError
from collector.readings import Reading
from collector.store import History, Store
from collector.store.verify import verify

FAR = 2**62
NEW_CHANNEL = "mole-pot"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store.open(tmp_path)
    yield store
    store.close()


def limit_pages(store: Store, pages: int) -> None:
    execute = store._ledger.connection.execute
    store._thread.submit(execute, f"PRAGMA max_page_count = {pages}").result()


@contextmanager
def no_file_may_grow_beyond(size: int) -> Iterator[None]:
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def large_batch() -> list[Reading]:
    channels = (SCALE, NEW_CHANNEL)
    return [Reading(name, START_US + n, n) for n in range(1, 5000) for name in channels]


def assert_only_the_lot_is_stored(store: Store) -> None:
    history = History(store.folder)
    assert history.last_seq() == 1
    assert history.readings(SCALE, 0, FAR).times.size == 0
    assert history.readings(NEW_CHANNEL, 0, FAR).times.size == 0
    assert verify(store.folder) == []


async def assert_the_batch_commits(store: Store, batch: list[Reading]) -> None:
    evidence = [reading for reading in batch if reading.channel == SCALE]
    assert await store.commit(batch, [weighing(evidence), alarm_raised("a")]) == [2, 3]
    history = History(store.folder)
    assert history.readings(SCALE, 0, FAR).times.size == len(evidence)
    assert history.last_reading_us([NEW_CHANNEL]) == batch[-1].taken_us
    assert verify(store.folder) == []


@pytest.mark.asyncio
async def test_a_full_disk_is_said_and_the_same_batch_commits_once_there_is_space(
    store: Store,
) -> None:
    await store.commit([], [lot_opened()])
    batch = large_batch()
    evidence = [reading for reading in batch if reading.channel == SCALE]
    limit_pages(store, 1)  # SQLite takes the present size where that is more
    for _ in range(2):
        with pytest.raises(StoreError, match=r"the disk is full .* Free some space"):
            await store.commit(batch, [weighing(evidence), alarm_raised("a")])
        assert_only_the_lot_is_stored(store)
    limit_pages(store, 1_000_000)
    await assert_the_batch_commits(store, batch)


@pytest.mark.asyncio
async def test_a_small_batch_still_fits_where_a_large_one_did_not(store: Store) -> None:
    await store.commit([], [lot_opened()])
    limit_pages(store, 1)
    with pytest.raises(StoreError, match="the disk is full"):
        await store.commit(large_batch(), [alarm_raised("a")])
    small = scale_readings()
    assert await store.commit(small, [weighing(small)]) == [2]
    assert verify(store.folder) == []


@pytest.mark.asyncio
async def test_a_write_that_the_system_refuses_leaves_nothing_half_done(store: Store) -> None:
    await store.commit([], [lot_opened()])
    batch = large_batch()
    size = (store.folder / "pourkeep.db-wal").stat().st_size
    with (
        no_file_may_grow_beyond(size + 10_000),
        pytest.raises(StoreError, match=r"the disk (is full|cannot be read or written)"),
    ):
        await store.commit(batch, [alarm_raised("a")])
    assert_only_the_lot_is_stored(store)
    await assert_the_batch_commits(store, batch)
