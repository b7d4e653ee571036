"""Two benches and their hub as three programs, at a broker with passwords and TLS."""

import sqlite3
import time
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path
from typing import Any

import pytest
from collecting_process import Collector, collecting
from hand_made_bench import HandMadeScale, ProbeFiles
from lot_by_hand import RECIPE
from real_broker import PASSWORDS, RealBroker, running_broker
from service_process import Service, eventually, pourkeep, serving

from collector.store.history import History

BENCHES = ("east", "west")
ROLES = {"scale": "scale", "jug": "pitcher"}
DEVICE = "28-00000a1b2c3d"
EVER = 2**62

WITHIN_S = 15.0
"""How soon a bench that is gone must be an alarm."""

BROKER = """
[mqtt]
host = "127.0.0.1"
port = {port}
user = "{user}"
password = "{password}"
tls = true
ca = "{ca}"
"""

WORKSHOP = """
[workshop]
name = "Quay Street"
timezone = "UTC"
data = "./data"

[api]
port = 0
"""

AT_THE_BENCH = """
[[bench]]
name = "{bench}"

[[instrument]]
name = "{bench}-scale"
bench = "{bench}"
role = "scale"
kind = "serial-scale"
port = "{folder}/scale"

[[instrument]]
name = "{bench}-jug"
bench = "{bench}"
role = "pitcher"
kind = "one-wire"
device = "28-00000a1b2c3d"
root = "{folder}/w1"
every = "0.5 s"
"""

AT_THE_HUB = """
[[bench]]
name = "{bench}"

[[instrument]]
name = "{bench}-scale"
bench = "{bench}"
role = "scale"
kind = "mqtt"

[[instrument]]
name = "hot {bench} jug"
bench = "{bench}"
role = "pitcher"
kind = "mqtt"
device = "{bench}-jug"
"""


TYPED = """
[[bench]]
name = "east"

[[instrument]]
name = "east-scale"
bench = "east"
role = "scale"
kind = "manual"
"""


class Rig:
    """One bench: a scale, a thermometer, and the config of the program that reads them."""

    def __init__(self, bench: str, folder: Path, broker: RealBroker) -> None:
        folder.mkdir()
        self.bench = bench
        self.folder = folder
        self.probes = ProbeFiles(folder / "w1")
        self.probes.set(DEVICE, 82.0)
        self.scale = HandMadeScale(folder / "scale")
        self.config = folder / "workshop.toml"
        text = WORKSHOP + AT_THE_BENCH.format(bench=bench, folder=folder)
        self.config.write_text(text + reached(broker, bench))

    @property
    def waiting(self) -> int:
        """How many commits the hub has not confirmed."""
        with closing(sqlite3.connect(self.folder / "data" / "pourkeep.db")) as store:
            return int(store.execute("SELECT count(*) FROM outbox").fetchone()[0])


def reached(broker: RealBroker, user: str) -> str:
    ca = broker.folder / "ca.crt"
    return BROKER.format(port=broker.port, user=user, password=PASSWORDS[user], ca=ca)


def hub_config(folder: Path, broker: RealBroker) -> Path:
    folder.mkdir()
    config = folder / "workshop.toml"
    benches = "".join(AT_THE_HUB.format(bench=bench) for bench in BENCHES)
    config.write_text(WORKSHOP + benches + reached(broker, "hub"))
    return config


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[RealBroker]:
    with running_broker(tmp_path / "broker", secured=True) as made:
        yield made


@contextmanager
def rigs(tmp_path: Path, broker: RealBroker) -> Iterator[dict[str, Rig]]:
    made = {bench: Rig(bench, tmp_path / bench, broker) for bench in BENCHES}
    with ExitStack() as scales:
        for rig in made.values():
            scales.enter_context(rig.scale)
        yield made


def alarms(hub: Service, bench: str, rule: str) -> list[dict[str, Any]]:
    """Return the alarms of a rule at a bench that are violated now."""
    listed: list[dict[str, Any]] = hub.get("/api/alarms?state=active")
    return [one for one in listed if (one["bench"], one["rule"]) == (bench, rule)]


def all_read(hub: Service) -> bool:
    return all(one["state"] == "reading" for one in hub.get("/api/instruments"))


def open_a_lot_that_gets_too_hot(hub: Service, rig: Rig) -> str:
    """Open a lot at a bench, let its pitcher become too hot, and wait for the alarm."""
    hub.post("/api/recipes", RECIPE)
    lot = str(
        hub.post("/api/lots", {"recipe": RECIPE["name"], "vessels": 2, "bench": rig.bench})["id"]
    )
    rig.probes.set(DEVICE, 97.0)
    eventually(lambda: alarms(hub, rig.bench, "over-temperature"))
    (alarm,) = alarms(hub, rig.bench, "over-temperature")
    assert (alarm["lot"], alarm["subject"]) == (lot, f"hot {rig.bench} jug")
    rig.probes.set(DEVICE, 82.0)
    return lot


def lose_both(hub: Service, east: Collector, west: Collector) -> None:
    """Kill one bench and let the other hang: both are alarms in time, and say what is wrong."""
    gone_s = time.monotonic()
    west.end()
    east.freeze()
    for bench in BENCHES:
        eventually(lambda bench=bench: alarms(hub, bench, "instrument-silent"), WITHIN_S)
    assert time.monotonic() - gone_s < WITHIN_S
    for bench in BENCHES:
        for alarm in alarms(hub, bench, "instrument-silent"):
            assert f"bench {bench} is offline" in alarm["message"]
            assert "power and network" in alarm["advice"]


def stored(folder: Path, names: dict[str, str]) -> dict[str, list[tuple[int, int]]]:
    """Return what a store holds of some channels, under their names at the bench."""
    spans = {own: History(folder / "data").readings(name, 0, EVER) for own, name in names.items()}
    return {
        own: [(int(t), int(v)) for t, v in zip(span.times, span.values, strict=True)]
        for own, span in spans.items()
    }


def assert_equal_on_both_sides(hub: Path, rig: Rig) -> None:
    own = {f"{rig.bench}-scale": f"{rig.bench}-scale", f"{rig.bench}-jug": f"{rig.bench}-jug"}
    there = stored(rig.folder, own)
    here = stored(hub, {**own, f"{rig.bench}-jug": f"hot {rig.bench} jug"})
    for name, rows in there.items():
        assert len(rows) >= 10  # some seconds at two readings each
        assert here[name] == rows, name


def fall_still(rig: Rig) -> None:
    """Take the instruments away, and wait until the hub has all that they gave."""
    rig.scale.unplug()
    rig.probes.remove(DEVICE)
    eventually(lambda: rig.waiting == 0, 20.0)


def test_two_benches_and_their_hub_lose_and_double_nothing(
    tmp_path: Path, broker: RealBroker
) -> None:
    config = hub_config(tmp_path / "hub", broker)
    with rigs(tmp_path, broker) as benches, ExitStack() as programs:
        east = programs.enter_context(collecting(benches["east"].config))
        west = programs.enter_context(collecting(benches["west"].config))
        with serving(config) as hub:
            eventually(lambda: all_read(hub))
            lot = open_a_lot_that_gets_too_hot(hub, benches["east"])
            lose_both(hub, east, west)
            east.thaw()
            west = programs.enter_context(collecting(benches["west"].config))
            for bench in BENCHES:
                eventually(lambda bench=bench: not alarms(hub, bench, "instrument-silent"))
            hub.kill()
        time.sleep(2.0)
        with serving(config) as hub:
            eventually(lambda: all_read(hub))
            assert hub.get(f"/api/lots/{lot}")["state"] == "open"
            for rig in benches.values():
                fall_still(rig)
            assert [east.stop(), west.stop(), hub.stop()[0]] == [0, 0, 0]
    for rig in benches.values():
        assert_equal_on_both_sides(tmp_path / "hub", rig)
        assert pourkeep("verify", "--data", rig.folder / "data").returncode == 0


def test_a_bench_without_a_broker_or_with_a_typed_instrument_does_not_start(tmp_path: Path) -> None:
    config = tmp_path / "workshop.toml"
    config.write_text(WORKSHOP + AT_THE_BENCH.format(bench="east", folder=tmp_path))
    refused = pourkeep("collect", "--config", config)
    assert refused.returncode == 2
    assert '"mqtt" is missing' in refused.stderr
    config.write_text(WORKSHOP + TYPED + '[mqtt]\nhost = "broker.lan"\n')
    refused = pourkeep("collect", "--config", config)
    assert refused.returncode == 2
    assert "a manual one is not: give it to the hub" in refused.stderr
