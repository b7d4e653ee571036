"""A workshop whose probe and scale are in the hands of a test: a 1-Wire folder and a serial line.

Nobody pours in it. What the instruments show is set, and sent on like by real ones.
"""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, Thread

from demo_day import START_S, address_of

from simulators.ports.one_wire_folder import OneWireFolder
from simulators.ports.pseudo_terminal import PseudoTerminalPort
from simulators.wire.one_wire_text import w1_slave_text

PROBE, SCALE, TYPED = "quay-pitcher", "quay-scale", "quay-room"
DEVICE = "28-00000aa0cc01"
EVERY_S = 0.2

CONFIG = """
[workshop]
name = "Quay Street"
timezone = "UTC"
data = "data"

[[bench]]
name = "quay"

[[instrument]]
name = "quay-pitcher"
bench = "quay"
role = "pitcher"
kind = "one-wire"
device = "28-00000aa0cc01"
root = "w1"
every = "200 ms"

[[instrument]]
name = "quay-scale"
bench = "quay"
role = "scale"
kind = "serial-scale"
port = "{port}"

[[instrument]]
name = "quay-pot"
bench = "quay"
role = "pot"
kind = "one-wire"
device = "28-00000aa0cc02"
root = "w1"

[[instrument]]
name = "quay-room"
bench = "quay"
role = "room"
kind = "manual"

[api]
port = 0
"""


class Displays:
    """What the instruments show; a thread sends it on."""

    def __init__(self, folder: Path) -> None:
        self.sixteenths = 336  # 21 °C
        self.grams = 0.0
        self._probe = OneWireFolder(folder / "w1")
        self._scale = PseudoTerminalPort(folder / "dev" / "scale")
        self._over = Event()
        self._sending = Thread(target=self._send, daemon=True)
        self._sending.start()

    def heat(self, degc: float) -> None:
        """Let the probe show a temperature, to a sixteenth."""
        self.sixteenths = round(degc * 16)

    def close(self) -> None:
        """Send no more."""
        self._over.set()
        self._sending.join(5)
        self._scale.unplug()

    def _send(self) -> None:
        while not self._over.wait(EVERY_S):
            self._probe.write(DEVICE, w1_slave_text(self.sixteenths))
            self._scale.write(f"ST,GS,+{self.grams:07.1f},g\r\n".encode("ascii"))


@contextmanager
def calibrating_workshop(folder: Path) -> Iterator[tuple[str, Displays]]:
    """Run `pourkeep serve` in a folder; give its address and its displays."""
    config = CONFIG.format(port=folder / "dev" / "scale")
    (folder / "workshop.toml").write_text(config, encoding="utf-8")
    displays = Displays(folder)
    process = subprocess.Popen(
        [
            *(sys.executable, "-c", "from api.command_line import main; main()"),
            *("serve", "--config", str(folder / "workshop.toml")),
        ],
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        yield address_of(process), displays
    finally:
        process.terminate()
        process.communicate(timeout=START_S)
        displays.close()
