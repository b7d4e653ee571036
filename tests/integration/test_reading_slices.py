"""A long span in slices of time: the same readings as a curve's, each once and in order."""

from collections.abc import Sequence
from pathlib import Path

import pytest
from export_samples import CLOSED_US, JUG, all_readings, keep_lot, late_readings
from sealing_samples import S_US
from store_samples import SCALE, START_US

from collector.errors import StoreError
from collector.readings import Reading
from collector.store import History, reading_slices
from collector.store.records import stored_reading

pytestmark = pytest.mark.asyncio

NAMES = (SCALE, JUG)


def sliced(history: History, from_us: int, to_us: int, names: Sequence[str]) -> list[Reading]:
    found = []
    for part in history.reading_slices(names, from_us, to_us):
        assert 0 < len(part.places) <= reading_slices.MOST
        columns = (column.tolist() for column in (part.places, *part.readings))
        found += [stored_reading(names[n], *row) for n, *row in zip(*columns, strict=True)]
    return found


@pytest.mark.parametrize("most", [1, 7, 8192])
@pytest.mark.parametrize("chunk", [5, 4096])
@pytest.mark.parametrize("seal", [False, True])
async def test_every_reading_comes_once_and_in_order(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, most: int, chunk: int, seal: bool
) -> None:
    monkeypatch.setattr(reading_slices, "MOST", most)
    monkeypatch.setattr(reading_slices, "CHUNK", chunk)
    history = History(await keep_lot(tmp_path, seal=seal))
    assert sliced(history, START_US, CLOSED_US, NAMES) == all_readings()
    inner = (START_US + 33 * S_US, START_US + 333 * S_US)
    expected = [r for r in all_readings() if inner[0] <= r.taken_us <= inner[1]]
    assert sliced(history, *inner, NAMES) == expected
    assert history.count_readings(NAMES, *inner) == len(expected)
    assert history.count_readings(NAMES, START_US, CLOSED_US) == len(all_readings())


async def test_a_span_between_two_readings_of_a_block_has_none(tmp_path: Path) -> None:
    history = History(await keep_lot(tmp_path))
    inner = (START_US + 3 * S_US + 10, START_US + 3 * S_US + 20)
    assert sliced(history, *inner, NAMES) == []
    assert history.count_readings(NAMES, *inner) == 0


async def test_a_channel_that_gave_nothing_is_no_hindrance(tmp_path: Path) -> None:
    history = History(await keep_lot(tmp_path))
    assert sliced(history, START_US, CLOSED_US, ("nobody",)) == []
    assert sliced(history, START_US, CLOSED_US, ()) == []
    assert sliced(history, START_US, CLOSED_US, ("nobody", *NAMES)) == all_readings()


async def test_what_came_late_is_marked(tmp_path: Path) -> None:
    history = History(await keep_lot(tmp_path))
    found = sliced(history, START_US, CLOSED_US, NAMES)
    assert [reading for reading in found if reading.late] == late_readings()


async def test_a_folder_without_a_store_is_said_to_be_one(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match=r"no pourkeep\.db here"):
        list(History(tmp_path).reading_slices(NAMES, 0, 1))
