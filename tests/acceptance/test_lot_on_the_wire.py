"""A whole lot on the real wire path, made by a script that knows nothing of the simulators."""

import time
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from hand_made_bench import HandMadeScale, ProbeFiles
from lot_by_hand import (
    BENCH,
    DEVICE,
    FRAGRANCE_G,
    IN_WINDOW_C,
    JUG,
    RECIPE,
    SCALE,
    TOO_COOL_C,
    VESSEL_G,
    VESSELS,
    WAX_G,
    add_fragrance,
    draw_wax,
    lift_pitcher,
    next_vessel,
    write_config,
)
from screen_watch import ScreenWatch
from service_process import Service, json_of, pourkeep, serving

SOON_S = 3.0
"""How soon a fault is told after the reading or the mark that shows it."""

LIGHT_G = 114.0


def seconds(text: str) -> float:
    return datetime.fromisoformat(text).timestamp()


def mark(service: Service, lot: str, phase: str, edge: str) -> float:
    service.post(f"/api/lots/{lot}/marks", {"phase": phase, "edge": edge})
    return time.time()


def stir_briefly(service: Service, screen: ScreenWatch, lot: str) -> None:
    mark(service, lot, "stir", "begin")
    time.sleep(3)
    ended_s = mark(service, lot, "stir", "end")
    assert screen.alarm("stir-duration").at_s - ended_s < SOON_S


def fill_both(scale: HandMadeScale, screen: ScreenWatch) -> None:
    """Fill one vessel well and one too light."""
    scale.pour(120.0, 5.0)
    scale.put(120.0, 2.5)
    next_vessel(scale)
    scale.pour(LIGHT_G, 5.0)
    rested_s = time.time()
    told = screen.alarm("fill-grams")
    decided_s = seconds(screen.weighing("fill", 2).data["evidence"]["to"])
    assert told.at_s - decided_s < SOON_S
    assert told.at_s - rested_s < 2.5 + SOON_S  # who tops up a vessel does so within 2.5 s
    scale.put(-VESSEL_G, 2.0)


def assert_weighed(lot: dict[str, Any]) -> None:
    """Hold the weighings against what the script poured; an accuracy of two divisions."""
    weighed = {(w["kind"], w["vessel"]): w["grams"] for w in lot["weighings"]}
    assert weighed == {
        ("wax", None): pytest.approx(WAX_G, abs=0.2),
        ("fragrance", None): pytest.approx(FRAGRANCE_G, abs=0.2),
        ("fill", 1): pytest.approx(120.0, abs=0.2),
        ("fill", 2): pytest.approx(LIGHT_G, abs=0.2),
    }


def assert_judged(lot: dict[str, Any]) -> None:
    """Every planted fault is a deviation, and nothing else is."""
    found = sorted((d["rule"], d["phase"], d["vessel"]) for d in lot["deviations"])
    assert found == [
        ("fill-grams", "pour", 2),
        ("fragrance-temperature", "add fragrance", None),
        ("stir-duration", "stir", None),
    ]
    by_rule = {d["rule"]: d for d in lot["deviations"]}
    cool = by_rule["fragrance-temperature"]
    assert (cool["measured"], cool["limit"]) == (TOO_COOL_C, {"low": 80.0, "high": 85.0})
    assert by_rule["stir-duration"]["measured"] == pytest.approx(3.0, abs=1.0)
    assert by_rule["fill-grams"]["measured"] == pytest.approx(LIGHT_G, abs=0.2)
    assert all(d["message"] and d["advice"] for d in lot["deviations"])


def assert_told(lot: dict[str, Any], screen: ScreenWatch) -> None:
    """The stream told the same as the lot's record."""
    told = screen.journal()
    plain = [{k: v for k, v in t.data.items() if k not in ("lot", "bench")} for t in told]
    weighings = [p for p, t in zip(plain, told, strict=True) if t.name == "weighing"]
    assert weighings == lot["weighings"]
    ended = [
        p for p, t in zip(plain, told, strict=True) if t.name == "phase" and p["ended"] is not None
    ]
    for phase in (p for p in lot["phases"] if p["ended"] is not None):
        assert phase in ended
    alarms = {t.data["id"]: t.data for t in told if t.name == "alarm"}  # as told last
    assert {d["id"]: d for d in lot["deviations"]} == {
        i: a for i, a in alarms.items() if a["folded_into"] is None
    }
    assert [t.data["state"] for t in told if t.name == "lot"] == ["open", "closed"]
    seqs = [t.seq for t in told]
    assert seqs == sorted(set(seqs))


def test_a_lot_with_three_faults_is_seen_judged_and_told_as_it_happens(tmp_path: Path) -> None:
    probes = ProbeFiles(tmp_path / "w1")
    probes.set(DEVICE, IN_WINDOW_C)
    config = write_config(tmp_path)
    with (
        HandMadeScale(tmp_path / "scale") as scale,
        serving(config) as service,
        ScreenWatch(service.base) as screen,
    ):
        screen.wait_for(lambda told: told.name == "reading" and told.data["channel"] == SCALE)
        screen.wait_for(lambda told: told.name == "reading" and told.data["channel"] == JUG)
        service.post("/api/recipes", RECIPE)
        opening = {"recipe": RECIPE["name"], "vessels": VESSELS, "bench": BENCH}
        lot_id = service.post("/api/lots", opening)["id"]
        draw_wax(scale)
        probes.set(DEVICE, TOO_COOL_C)
        time.sleep(1.0)
        begun_s = time.time()
        add_fragrance(scale)
        assert screen.alarm("fragrance-temperature").at_s - begun_s < SOON_S
        stir_briefly(service, screen, lot_id)
        lift_pitcher(scale, probes)
        fill_both(scale, screen)
        service.post(f"/api/lots/{lot_id}/close", {}, 200)
        screen.wait_for(lambda told: told.name == "lot" and told.data["state"] == "closed")
        time.sleep(0.5)  # what follows from the closing is told right after it
        lot = service.get(f"/api/lots/{lot_id}")
        assert_weighed(lot)
        assert_judged(lot)
        assert [p["phase"] for p in lot["phases"]] == [
            "draw wax",
            "add fragrance",
            "stir",
            "pour",
            "set",
        ]
        assert_told(lot, screen)
        assert service.stop()[0] == 0
    assert pourkeep("verify", "--data", tmp_path / "data").returncode == 0
    stored = json_of("lot", lot_id, "--json", "--data", tmp_path / "data")
    assert (stored["weighings"], stored["phases"]) == (lot["weighings"], lot["phases"])
    assert stored["deviations"] == lot["deviations"]
