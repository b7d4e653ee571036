"""The look at the disk: said once when space gets low, once when there is room again."""

import asyncio
import logging
from pathlib import Path

import pytest
from workshop_at_hand import until

from collector import space_watch
from collector.disk_space import Space
from collector.space_watch import SpaceWatch, look


def test_a_look_tells_what_is_free_and_what_the_store_takes(tmp_path: Path) -> None:
    (tmp_path / "pourkeep.db").write_bytes(bytes(1000))
    (tmp_path / "pourkeep.db-wal").write_bytes(bytes(500))
    (tmp_path / "something-else").write_bytes(bytes(9000))
    space = look(tmp_path, 2.0)
    assert space is not None
    assert space.store_bytes == 1500
    assert space.free_bytes > 0
    assert space.rate_hz == 2.0


def test_a_disk_that_is_gone_tells_nothing(tmp_path: Path) -> None:
    assert look(tmp_path / "gone", 0.0) is None


@pytest.mark.asyncio
async def test_low_space_is_logged_once_for_each_change(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.INFO)
    disk = {"free": 1_000_000_000}
    looks: list[float] = []

    def told(_folder: Path, rate_hz: float) -> Space:
        looks.append(rate_hz)
        return Space(disk["free"], 0, rate_hz)

    monkeypatch.setattr(space_watch, "EVERY_S", 0.01)
    monkeypatch.setattr(space_watch, "SOON_S", 0.01)
    monkeypatch.setattr(space_watch, "look", told)
    stored = 0
    watch = SpaceWatch(tmp_path, lambda: stored)
    running = asyncio.create_task(watch.run())
    for free in (1_000_000_000, 400_000_000, 1_000_000_000):
        disk["free"] = free
        stored += 10
        seen = len(looks)
        await until(lambda: len(looks) >= seen + 3)  # noqa: B023 - asked at once
    running.cancel()
    await asyncio.gather(running, return_exceptions=True)
    said = [record.getMessage() for record in caplog.records]
    assert len(said) == 2
    assert "400 MB are free" in said[0]
    assert "there is room again" in said[1]
    assert max(looks) > 0
