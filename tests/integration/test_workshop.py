"""The service put together and taken down: what a stop leaves and a start finds."""

import asyncio
import logging
from pathlib import Path

import pytest
from workshop_at_hand import (
    BENCH,
    SCALE,
    AtHand,
    HandClock,
    at_hand,
    config,
    until,
)

from collector.errors import DocumentError, PourkeepError, StoreError
from collector.lot_events import RecipeKept
from collector.readings import Role
from collector.store.verify import verify
from collector.workshop import Workshop

TOML = """
name = "Sandpiper, 90 g"
vessel = { fill = "90 g", tolerance = "2 g" }
wax = { name = "soy blend" }
fragrance = { name = "thrift", load = "6 %", load_of = "wax" }
pour = {}
"""


@pytest.mark.asyncio
async def test_an_open_lot_goes_on_after_a_stop_with_its_gap(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    clock = HandClock()
    async with at_hand(config(tmp_path), clock) as hand:
        lot = await hand.open_lot()
        await hand.mark(lot, "stir", "begin")
        await hand.said(SCALE, Role.SCALE, 100)
        before = await hand.got(f"/api/lots/{lot}")
    clock.pass_s(90)
    async with at_hand(config(tmp_path), clock) as hand:
        after = await hand.got(f"/api/lots/{lot}")
        assert after["state"] == "open"
        assert after["phases"] == before["phases"]
        assert after["gaps"] == [
            {"from": "2026-11-25T09:46:41.000Z", "to": "2026-11-25T09:48:11.000Z"}
        ]
        assert (await hand.got(f"/api/benches/{BENCH}"))["phase"] == "stir"
        assert (await hand.http.post(f"/api/lots/{lot}/close")).status_code == 200
    assert verify(tmp_path) == []
    assert not [r for r in caplog.records if "events differ" in r.getMessage()]


@pytest.mark.asyncio
async def test_a_closed_lot_leaves_the_bench_free_after_a_stop(tmp_path: Path) -> None:
    clock = HandClock()
    async with at_hand(config(tmp_path), clock) as hand:
        lot = await hand.open_lot()
        await hand.http.post(f"/api/lots/{lot}/close")
    async with at_hand(config(tmp_path), clock) as hand:
        assert (await hand.got(f"/api/benches/{BENCH}"))["lot"] is None
        assert await hand.open_lot() == "2026-11-25-2"


@pytest.mark.asyncio
async def test_a_lot_at_a_bench_that_the_config_lost_can_still_be_closed(tmp_path: Path) -> None:
    clock = HandClock()
    async with at_hand(config(tmp_path), clock) as hand:
        lot = await hand.open_lot(bench="attic")
        await hand.mark(lot, "stir", "begin")
    instruments = tuple(i for i in config(tmp_path).instruments if i.bench == BENCH)
    smaller = config(tmp_path, benches=(BENCH,), instruments=instruments)
    async with at_hand(smaller, clock) as hand:
        assert (await hand.http.post(f"/api/lots/{lot}/close")).status_code == 200
    async with at_hand(smaller, clock) as hand:  # and now the bench is gone for good
        assert (await hand.mark(lot, "cure", "begin")).status_code == 201
        for alarm in await hand.got("/api/alarms"):
            seen = await hand.http.post(f"/api/alarms/{alarm['id']}/acknowledge", json={})
            assert seen.status_code == 200
    assert verify(tmp_path) == []


@pytest.mark.asyncio
async def test_the_recipe_folder_is_read_and_kept_once(tmp_path: Path) -> None:
    recipes = tmp_path / "recipes"
    recipes.mkdir()
    (recipes / "sandpiper.toml").write_text(TOML)
    settings = config(tmp_path / "data", recipes=recipes)
    for _ in range(2):
        async with at_hand(settings) as hand:
            (entry,) = await hand.got("/api/recipes")
            assert entry["name"] == "Sandpiper, 90 g"
            assert entry["phases"] == ["draw wax", "add fragrance", "pour"]
            assert len(hand.workshop.history.events_of([RecipeKept])) == 1
    (recipes / "sandpiper.toml").write_text(TOML.replace("90 g", "95 g"))
    async with at_hand(settings) as hand:
        assert {e["name"] for e in await hand.got("/api/recipes")} == {
            "Sandpiper, 90 g",
            "Sandpiper, 95 g",
        }


@pytest.mark.asyncio
async def test_a_recipe_file_that_cannot_be_used_leaves_no_trace(tmp_path: Path) -> None:
    recipes = tmp_path / "recipes"
    recipes.mkdir()
    (recipes / "broken.toml").write_text(TOML.replace('"90 g"', '"90 degC"'))
    with pytest.raises(DocumentError, match=r"broken\.toml:3: vessel\.fill: .*mass"):
        async with Workshop(config(tmp_path / "data", recipes=recipes), HandClock()):
            pass
    assert not (tmp_path / "data").exists()


@pytest.mark.asyncio
async def test_two_recipe_files_of_one_name_are_refused(tmp_path: Path) -> None:
    recipes = tmp_path / "recipes"
    recipes.mkdir()
    (recipes / "one.toml").write_text(TOML)
    (recipes / "two.toml").write_text(TOML)
    with pytest.raises(DocumentError, match=r"two\.toml: name: .*one\.toml"):
        async with Workshop(config(tmp_path / "data", recipes=recipes), HandClock()):
            pass


@pytest.mark.asyncio
async def test_a_start_that_fails_leaves_the_folder_free(tmp_path: Path) -> None:
    async with at_hand(config(tmp_path)):
        with pytest.raises(StoreError, match="process"):
            async with Workshop(config(tmp_path), HandClock()):
                pass
    async with at_hand(config(tmp_path)):
        pass


@pytest.mark.asyncio
async def test_a_defect_of_the_pipeline_ends_the_service_with_its_reason(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def broken() -> None:
        raise ZeroDivisionError("a defect")

    async def serve() -> None:
        async with at_hand(config(tmp_path)) as hand:
            monkeypatch.setattr(hand.workshop.pipeline.live, "refresh", broken)
            await until(hand.workshop.running.done)

    with pytest.raises(PourkeepError, match="defect of its own"):
        await serve()
    assert [r for r in caplog.records if r.levelno == logging.CRITICAL and r.exc_info]
    async with at_hand(config(tmp_path)):  # the folder is free again
        pass


@pytest.mark.asyncio
async def test_a_stop_takes_the_readings_that_are_still_in_the_inbox(tmp_path: Path) -> None:
    async with at_hand(config(tmp_path)) as hand:
        await said_at_the_last_moment(hand)
    readings = hand.workshop.history.readings(SCALE, 0, 2**62)
    assert readings.values.tolist() == [4_200]


async def said_at_the_last_moment(hand: AtHand) -> None:
    taking = asyncio.create_task(hand.said(SCALE, Role.SCALE, 4_200))
    await asyncio.sleep(0)
    taking.cancel()


@pytest.mark.asyncio
async def test_one_who_is_cancelled_while_stopping_has_all_on_disk_and_learns_of_it(
    tmp_path: Path,
) -> None:
    workshops: list[Workshop] = []

    async def serve() -> None:
        async with at_hand(config(tmp_path)) as hand:
            workshops.append(hand.workshop)
            await said_at_the_last_moment(hand)

    serving = asyncio.create_task(serve())
    await until(lambda: bool(workshops) and workshops[0].stopping.is_set())
    serving.cancel()
    with pytest.raises(asyncio.CancelledError):
        await serving
    assert workshops[0].history.readings(SCALE, 0, 2**62).values.tolist() == [4_200]
    async with at_hand(config(tmp_path)):  # the folder is free again
        pass
