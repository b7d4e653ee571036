"""A serial port that is a pseudo-terminal behind a stable symlink."""

import fcntl
import os
import struct
import termios
import tty
from pathlib import Path

ROOM_BYTES = 2048
"""Lines are dropped whole beyond this backlog: half of what a Linux terminal holds (4096)."""


class PseudoTerminalPort:
    """One port at `link`, for example DIR/dev/scale. It starts plugged in.

    The slave's descriptor stays open here, so that the port never hangs up by itself when a
    reader comes and goes; `unplug` really closes both ends, and a reader gets EIO.
    """

    def __init__(self, link: Path) -> None:
        self.link = link
        self._master: int | None = None
        self._slave: int | None = None
        link.parent.mkdir(parents=True, exist_ok=True)
        self.plug()

    def plug(self) -> None:
        """Make a new pseudo-terminal behind the same symlink; nothing where it is plugged in."""
        if self._master is not None:
            return
        self._master, self._slave = os.openpty()
        tty.setraw(self._slave)  # else the terminal echoes every line back to us
        os.set_blocking(self._master, False)
        fresh = self.link.with_name(f".{self.link.name}.fresh")
        fresh.unlink(missing_ok=True)
        fresh.symlink_to(os.ttyname(self._slave))
        fresh.replace(self.link)

    def unplug(self) -> None:
        """Take the port away; nothing where it is gone already."""
        if self._master is None or self._slave is None:
            return
        self.link.unlink(missing_ok=True)
        os.close(self._slave)
        os.close(self._master)
        self._master = self._slave = None

    def backlog(self) -> int:
        """Return how many bytes no reader has taken yet."""
        if self._slave is None:
            return 0
        answer = fcntl.ioctl(self._slave, termios.FIONREAD, struct.pack("i", 0))
        return int(struct.unpack("i", answer)[0])

    def write(self, data: bytes) -> bool:
        """Send `data` whole, or drop it whole where nobody reads; return whether it went."""
        if self._master is None or self.backlog() + len(data) > ROOM_BYTES:
            return False
        try:
            os.write(self._master, data)
        except BlockingIOError:  # the kernel has not yet moved earlier bytes to the slave
            return False
        return True
