"""A bench of the tests' own: a scale on a pseudo-terminal, thermometers as files.

It shares nothing with the simulators. The scale sends lines led by a status, five a second;
such lines are common practice without a published source. The thermometer's file is as the
Linux kernel lays it (Documentation/w1/slaves/w1_therm.rst), its checksum by Maxim application
note 27.
"""

import os
import shutil
import threading
import time
import tty
from pathlib import Path
from typing import Self

EVERY_S = 0.2


class HandMadeScale:
    """A scale that sends what the test puts on it. Use it as a context."""

    def __init__(self, link: Path) -> None:
        self.link = link
        self.sent: list[tuple[float, float]] = []
        """What was sent: seconds since 1970, and grams."""
        self._grams = 0.0
        self._steady = True
        self._ends: tuple[int, int] | None = None
        self._over = threading.Event()
        self._plugs = threading.Lock()
        self._thread = threading.Thread(target=self._send_on, name="hand-made scale")

    def __enter__(self) -> Self:
        self.plug()
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        self._thread.join()
        self.unplug()

    def plug(self) -> None:
        """Connect it: a new terminal behind the same name."""
        master, slave = os.openpty()
        tty.setraw(slave)
        os.set_blocking(master, False)
        self.link.unlink(missing_ok=True)
        self.link.symlink_to(os.ttyname(slave))
        with self._plugs:
            self._ends = (master, slave)

    def unplug(self) -> None:
        """Take it away."""
        with self._plugs:
            ends, self._ends = self._ends, None
        self.link.unlink(missing_ok=True)
        for end in ends or ():
            os.close(end)

    def put(self, grams: float, hold_s: float) -> None:
        """Let the display jump, as by a thing put down, lifted or tared; then wait."""
        self._grams = grams
        time.sleep(hold_s)

    def pour(self, to_grams: float, seconds: float) -> None:
        """Let the display rise steadily, and come to rest."""
        began_s, from_grams = time.monotonic(), self._grams
        self._steady = False
        while (share := (time.monotonic() - began_s) / seconds) < 1:
            self._grams = from_grams + (to_grams - from_grams) * share
            time.sleep(0.02)
        self._grams, self._steady = to_grams, True

    def send(self, data: bytes) -> bool:
        """Put bytes on the wire; tell whether they went, for nobody may be reading."""
        with self._plugs:
            if self._ends is None:
                return False
            try:
                return os.write(self._ends[0], data) == len(data)
            except BlockingIOError:
                return False

    def _send_on(self) -> None:
        while not self._over.wait(EVERY_S):
            grams, status = round(self._grams, 1), "ST" if self._steady else "US"
            at_s = time.time()
            if self.send(f"{status},GS,{grams:+08.1f},g\r\n".encode("ascii")):
                self.sent.append((at_s, grams))


class ProbeFiles:
    """Thermometers under `root`, each a folder with its `w1_slave` file."""

    def __init__(self, root: Path) -> None:
        self.root = root
        root.mkdir()

    def set(self, device: str, degc: float) -> None:
        """Give a thermometer a temperature; it is there from now on."""
        folder = self.root / device
        folder.mkdir(exist_ok=True)
        fresh = folder / ".fresh"
        fresh.write_text(w1_text(degc))
        fresh.replace(folder / "w1_slave")

    def remove(self, device: str) -> None:
        """Pull a thermometer out."""
        shutil.rmtree(self.root / device)


def w1_text(degc: float) -> str:
    """Return the two lines for a temperature, to a sixteenth of a degree."""
    sixteenths = round(degc * 16)
    register = sixteenths.to_bytes(2, "little", signed=True)
    read = register + bytes((0x4B, 0x46, 0x7F, 0xFF, 0x10 - sixteenths % 16, 0x10))
    listed = f"{read.hex(' ')} {checksum(read):02x}"
    return f"{listed} : crc={checksum(read):02x} YES\n{listed} t={sixteenths * 1000 // 16}\n"


def checksum(data: bytes) -> int:
    """Return the 1-Wire checksum, bit by bit: x^8 + x^5 + x^4 + 1."""
    crc = 0
    for byte in data:
        for bit in range(8):
            mixed = (crc ^ byte >> bit) & 1
            crc = crc >> 1 ^ (0x8C if mixed else 0)
    return crc
