"""Sentences for the ways in which a 1-Wire thermometer cannot be read."""

import errno
from pathlib import Path

from collector.errors import LinkError

_NO_BUS = LinkError(
    "There is no 1-Wire bus at {root}",
    "Switch the bus on (on a Raspberry Pi: dtoverlay=w1-gpio in config.txt, then restart),"
    " or correct the root in the config",
)
_GHOSTS = "; folders that begin with 00- mean that the pull-up resistor is missing or too weak"


def one_wire_failed(root: Path, device: str, error: OSError) -> LinkError:
    """Return the error for a probe whose file could not be read."""
    if error.errno in (errno.EACCES, errno.EPERM):
        return LinkError(
            f"This program may not read {root / device}", "Give its user the right to read it"
        )
    if not root.is_dir():
        return LinkError(_NO_BUS.reason.format(root=root), _NO_BUS.remedy)
    if not (root / device).is_dir():
        return LinkError(f"There is no thermometer {device} on its bus", _look(root))
    return LinkError(
        f"Thermometer {device} does not answer ({error.strerror})", "Check its plug and its cable"
    )


def _look(root: Path) -> str:
    """Say what to do about a missing probe, with those that are there."""
    try:
        present = sorted(folder.name for folder in root.iterdir() if "-" in folder.name)
    except OSError:  # the bus vanished meanwhile; the next attempt says so
        present = []
    there = (
        f"; connected now in {root}: {', '.join(present)}" if present else f"; nothing is in {root}"
    )
    ghosts = _GHOSTS if any(name.startswith("00-") for name in present) else ""
    return f"Check its plug and its cable{there}{ghosts}"
