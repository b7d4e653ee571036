"""A workshop of our own invention, and the motions that make a lot in it."""

from pathlib import Path
from typing import Any

from hand_made_bench import HandMadeScale, ProbeFiles

BENCH = "jetty"
SCALE = "jetty-scale"
JUG = "jetty-jug"
DEVICE = "28-00000a1b2c3d"

CONFIG = """
[workshop]
name = "Jetty Lane"
timezone = "UTC"
data = "./data"

[[bench]]
name = "jetty"

[[instrument]]
name = "jetty-scale"
bench = "jetty"
role = "scale"
kind = "serial-scale"
port = "{folder}/scale"

[[instrument]]
name = "jetty-jug"
bench = "jetty"
role = "pitcher"
kind = "one-wire"
device = "28-00000a1b2c3d"
root = "{folder}/w1"
every = "0.5 s"

[api]
port = 0
"""

RECIPE: dict[str, Any] = {
    "name": "Marram, 120 g",
    "vessel": {"fill": "120 g", "tolerance": "2 g"},
    "pitcher": {"capacity": "800 g", "residue": "12 g"},
    "wax": {"name": "soy blend", "never_above": "93 degC"},
    "fragrance": {
        "name": "sea holly",
        "load": "8 %",
        "load_of": "wax",
        "add_between": ["80 degC", "85 degC"],
    },
    "stir": {"at_least": "20 s"},
    "pour": {"between": ["57 degC", "63 degC"]},
    "set": {"at_least": "24 h"},
}
VESSELS = 2
PITCHER_G = 300.0
VESSEL_G = 155.0
WAX_G = 233.3  # (2 x 120 g + 12 g) / 1.08, to the scale's tenth
FRAGRANCE_G = 18.7  # 8 % of it
IN_WINDOW_C = 82.0
TOO_COOL_C = 74.0
POUR_C = 60.0


def write_config(folder: Path) -> Path:
    """Write the workshop's file and return its path."""
    path = folder / "workshop.toml"
    path.write_text(CONFIG.format(folder=folder))
    return path


def draw_wax(scale: HandMadeScale) -> None:
    """Put the pitcher on, tare it, and draw the wax into it."""
    scale.put(PITCHER_G, 2.0)
    scale.put(0.0, 2.0)
    scale.pour(WAX_G, 5.0)
    scale.put(WAX_G, 2.0)


def add_fragrance(scale: HandMadeScale) -> None:
    """Pour the fragrance onto the wax."""
    scale.pour(WAX_G + FRAGRANCE_G, 3.0)
    scale.put(WAX_G + FRAGRANCE_G, 2.5)


def lift_pitcher(scale: HandMadeScale, probes: ProbeFiles) -> None:
    """Lift the pitcher off, which the tare shows below zero; the wax has cooled by then."""
    probes.set(DEVICE, POUR_C)
    scale.put(-PITCHER_G, 2.0)
    scale.put(VESSEL_G - PITCHER_G, 2.0)
    scale.put(0.0, 2.0)  # the first vessel, tared


def next_vessel(scale: HandMadeScale) -> None:
    """Take the full vessel off and put the next one on."""
    scale.put(-VESSEL_G, 2.0)
    scale.put(0.0, 2.0)
