"""What systemd is told: that the service is ready, how it does, that it lives, that it stops.

By sd_notify(3) and sd_watchdog_enabled(3): datagrams of lines NAME=VALUE to a socket that is
named in the environment.
"""

import logging
import os
import socket
from collections.abc import Mapping

_LOG = logging.getLogger(__name__)


class Notifier:
    """Tells systemd; without a socket in the environment it tells nobody."""

    def __init__(self, environment: Mapping[str, str]) -> None:
        self.watchdog_s = _watchdog_s(environment)
        """How often systemd wants to hear that the service lives, None where it does not."""
        self._address = _address(environment.get("NOTIFY_SOCKET", ""))
        self._failed = False

    @property
    def listens(self) -> bool:
        """Whether there is anybody to tell."""
        return self._address is not None

    def tell(self, **states: str) -> None:
        """Send states, named in lower case. What cannot be sent is logged once, never raised."""
        if self._address is None:
            return
        text = "\n".join(f"{name.upper()}={_one_line(value)}" for name, value in states.items())
        try:
            with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as sock:
                sock.setblocking(False)
                sock.sendto(text.encode(), self._address)
        except OSError as error:
            if not self._failed:
                _LOG.warning("systemd cannot be told how the service does: %s", error)
            self._failed = True


def _address(name: str) -> str | None:
    """Return a socket's address: a path, or a name without a file, which begins with "@"."""
    if name.startswith("@"):
        return f"\0{name[1:]}"
    if name and not name.startswith("/"):
        _LOG.warning("NOTIFY_SOCKET %r is of a kind that is not supported", name)
        return None
    return name or None


def _watchdog_s(environment: Mapping[str, str]) -> float | None:
    """Return the period of the watchdog, where it is meant for this process."""
    period_us, pid = environment.get("WATCHDOG_USEC", ""), environment.get("WATCHDOG_PID")
    if not period_us.isdigit() or int(period_us) == 0:
        return None
    if pid is not None and pid != str(os.getpid()):
        return None
    return int(period_us) / 1_000_000


def _one_line(text: str) -> str:
    return " ".join(text.splitlines())
