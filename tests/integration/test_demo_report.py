"""The demo's own comparison of what was planted with what was found."""

from pathlib import Path

import pytest
import pytest_asyncio
from workshop_at_hand import at_hand, config

from api.command_line.demo import Planted, report
from api.command_line.lots import show


@pytest_asyncio.fixture
async def data(tmp_path: Path) -> Path:
    """Give a data folder with a lot that was closed without anything being done."""
    async with at_hand(config(tmp_path)) as hand:
        lot = await hand.open_lot()
        hand.clock.pass_s(5)
        await hand.http.post(f"/api/lots/{lot}/close")
    return tmp_path


def found_in(data: Path) -> list[Planted]:
    """Return what the lot's record says, as the simulators would have planted it."""
    lot = show(data, "2026-11-25-1")
    assert len(lot.deviations) >= 3
    return [{"lot": lot.id, "rule": d.rule, "vessel": d.vessel} for d in lot.deviations]


@pytest.mark.asyncio
async def test_a_day_whose_faults_were_all_found_is_good(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    planted = found_in(data)
    assert report(data, planted) == 0
    said = capsys.readouterr().out
    assert said.endswith(f"{len(planted)} faults planted, {len(planted)} of them found.\n")


@pytest.mark.asyncio
async def test_a_fault_that_was_not_found_fails_the_day(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hidden: Planted = {"lot": "2026-11-25-1", "rule": "fill-grams", "vessel": 7}
    assert report(data, [*found_in(data), hidden]) == 1
    assert (
        "planted but not found: lot 2026-11-25-1, fill-grams, vessel 7" in capsys.readouterr().out
    )


@pytest.mark.asyncio
async def test_a_deviation_that_nobody_planted_fails_the_day(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert report(data, found_in(data)[1:]) == 1
    assert "found but not planted: " in capsys.readouterr().out
