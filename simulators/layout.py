"""Which instruments the simulated workshop offers, and where.

Names, device numbers and the bench are our own invention.
"""

from dataclasses import dataclass
from pathlib import Path

from simulators.bench_model import PITCHER_PROBE, POT_PROBE, ROOM_PROBE

BENCH = "quay"
SCALE = "quay-scale"

DEVICES = {
    PITCHER_PROBE: "28-0000051a70e1",
    POT_PROBE: "28-0000051a70e2",
    ROOM_PROBE: "28-0000051a70e3",
}


@dataclass(frozen=True)
class Layout:
    """The places of one simulated workshop under its folder."""

    folder: Path

    @property
    def scale_port(self) -> Path:
        """Where the scale's serial port appears."""
        return self.folder / "dev" / "scale"

    @property
    def one_wire_root(self) -> Path:
        """Where the thermometers' folders appear."""
        return self.folder / "w1"

    @property
    def ready(self) -> Path:
        """An empty file, there once the instruments speak and the clock runs."""
        return self.folder / "ready"

    @property
    def planted(self) -> Path:
        """What the day planted, written at its end."""
        return self.folder / "planted.json"

    def instruments(self) -> list[dict[str, str]]:
        """Return each instrument as a config would name it."""
        scale = {
            "name": SCALE,
            "bench": BENCH,
            "role": "scale",
            "kind": "serial-scale",
            "port": str(self.scale_port),
        }
        return [scale, *(self._thermometer(name) for name in DEVICES)]

    def _thermometer(self, name: str) -> dict[str, str]:
        return {
            "name": name,
            "bench": BENCH,
            "role": name.removeprefix(f"{BENCH}-"),
            "kind": "one-wire",
            "device": DEVICES[name],
            "root": str(self.one_wire_root),
        }
