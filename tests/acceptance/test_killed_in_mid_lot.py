"""A power cut in the middle of a lot, and the start after it."""

import time
from pathlib import Path
from typing import Any

import pytest
from hand_made_bench import HandMadeScale, ProbeFiles
from lot_by_hand import (
    BENCH,
    DEVICE,
    FRAGRANCE_G,
    IN_WINDOW_C,
    RECIPE,
    SCALE,
    VESSEL_G,
    VESSELS,
    WAX_G,
    add_fragrance,
    draw_wax,
    lift_pitcher,
    next_vessel,
    write_config,
)
from screen_watch import ScreenWatch, Told
from service_process import Service, pourkeep, serving

from collector.store.history import History

LOST_S = 1.0
"""What a power cut may cost: the readings of one second."""

KINDS = {
    "phase": ("phase-began", "phase-ended"),
    "weighing": ("weighing-accepted",),
    "lot": ("lot-opened", "lot-closed"),
    "alarm": ("alarm-raised", "alarm-cleared", "alarm-folded"),
}


def until_the_fragrance_flows(
    service: Service, screen: ScreenWatch, scale: HandMadeScale
) -> tuple[str, float]:
    """Begin a lot, kill the service in the middle of the fragrance; return the lot and when."""
    screen.wait_for(lambda told: told.name == "reading" and told.data["channel"] == SCALE)
    service.post("/api/recipes", RECIPE)
    opening = {"recipe": RECIPE["name"], "vessels": VESSELS, "bench": BENCH}
    lot = str(service.post("/api/lots", opening)["id"])
    draw_wax(scale)
    screen.weighing("wax")
    scale.pour(WAX_G + FRAGRANCE_G / 2, 1.5)
    service.kill()
    killed_s = time.time()
    assert screen.ended.wait(5)
    return lot, killed_s


def assert_nothing_told_is_gone(data: Path, told: list[Told]) -> None:
    """Look up each event that a screen saw, by its number."""
    history = History(data)
    assert len(told) >= 4  # an opening, a phase, a weighing, the end of the phase
    for one in told:
        (stored,) = history.events_after(one.seq - 1, 1)
        assert stored.seq == one.seq
        assert stored.event.__struct_config__.tag in KINDS[one.name]
        assert stored.event.lot == one.data.get("lot", one.data.get("id"))


def assert_at_most_a_second_is_missing(
    data: Path, scale: HandMadeScale, since_s: float, killed_s: float
) -> None:
    stored = History(data).readings(SCALE, round(since_s * 1e6), round(killed_s * 1e6))
    sent = [grams for at_s, grams in scale.sent if since_s < at_s < killed_s - LOST_S]
    kept = [value / 1000 for value in stored.values.tolist()]
    assert len(sent) > 50
    assert kept[: len(sent)] == sent


def finish(service: Service, scale: HandMadeScale, probes: ProbeFiles, lot: str) -> dict[str, Any]:
    scale.put(WAX_G + FRAGRANCE_G / 2, 2.0)  # she waits for the page, then goes on
    add_fragrance(scale)
    service.post(f"/api/lots/{lot}/marks", {"phase": "stir", "edge": "begin"})
    time.sleep(1)
    service.post(f"/api/lots/{lot}/marks", {"phase": "stir", "edge": "end"})
    lift_pitcher(scale, probes)
    for _ in range(VESSELS):
        scale.pour(120.0, 4.0)
        scale.put(120.0, 2.0)
        next_vessel(scale)
    scale.put(-VESSEL_G, 1.0)
    service.post(f"/api/lots/{lot}/close", {}, 200)
    shown: dict[str, Any] = service.get(f"/api/lots/{lot}")
    return shown


def test_a_lot_survives_a_power_cut_and_can_be_finished(tmp_path: Path) -> None:
    probes = ProbeFiles(tmp_path / "w1")
    probes.set(DEVICE, IN_WINDOW_C)
    config = write_config(tmp_path)
    with HandMadeScale(tmp_path / "scale") as scale:
        with serving(config) as service, ScreenWatch(service.base) as screen:
            began_s = time.time()
            lot, killed_s = until_the_fragrance_flows(service, screen, scale)
        assert_nothing_told_is_gone(tmp_path / "data", screen.journal())
        time.sleep(1.0)
        with serving(config) as service:
            after = service.get(f"/api/lots/{lot}")
            assert after["state"] == "open"
            seen = [t.data for t in screen.journal() if t.name == "weighing"]
            assert [w["grams"] for w in after["weighings"]] == [w["grams"] for w in seen]
            (gap,) = after["gaps"]
            assert gap["from"] < gap["to"]
            assert service.get(f"/api/benches/{BENCH}")["lot"] == lot
            assert_at_most_a_second_is_missing(tmp_path / "data", scale, began_s + 0.5, killed_s)
            done = finish(service, scale, probes, lot)
            assert service.stop()[0] == 0
    assert done["state"] == "closed"
    assert {w["vessel"] for w in done["weighings"] if w["kind"] == "fill"} == {1, 2}
    (fragrance,) = [w["grams"] for w in done["weighings"] if w["kind"] == "fragrance"]
    assert fragrance == pytest.approx(FRAGRANCE_G, abs=0.2)
    verified = pourkeep("verify", "--data", tmp_path / "data")
    assert (verified.returncode, verified.stderr) == (0, ""), verified.stdout


def test_a_screen_resumes_across_the_restart(tmp_path: Path) -> None:
    ProbeFiles(tmp_path / "w1").set(DEVICE, IN_WINDOW_C)
    config = write_config(tmp_path)
    with HandMadeScale(tmp_path / "scale"):
        with serving(config) as service, ScreenWatch(service.base) as screen:
            service.post("/api/recipes", RECIPE)
            opening = {"recipe": RECIPE["name"], "vessels": VESSELS, "bench": BENCH}
            lot = service.post("/api/lots", opening)["id"]
            last = screen.wait_for(lambda told: told.name == "lot")
            service.post(f"/api/lots/{lot}/marks", {"phase": "stir", "edge": "begin"})
            service.kill()
        with serving(config) as service, ScreenWatch(service.base, last.id) as screen:
            told = screen.wait_for(lambda told: told.name == "phase")
            assert told.data["phase"] == "stir"
            assert [t for t in screen.told if t.name == "lot"] == []
