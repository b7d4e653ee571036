"""Which program has a port open, as far as /proc tells."""

import os
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

_OURS = "this service itself"


def port_holder(port: str, proc: Path = Path("/proc")) -> str | None:
    """Return "name (process 123)" of another program that has `port` open, or None.

    Only programs of the same user are visible, all of them to root. Links are followed.
    """
    return next(_holders(port, proc), None)


def busy_with(port: str) -> str | None:
    """Return who has a busy port open: another program, else this one, or None if unknown."""
    ourselves = os.path.realpath(port) in _open_files(Path("/proc/self"))
    return port_holder(port) or (_OURS if ourselves else None)


def _holders(port: str, proc: Path) -> Iterator[str]:
    target = os.path.realpath(port)
    for process in proc.glob("[0-9]*"):
        if process.name != str(os.getpid()) and target in _open_files(process):
            yield f"{_name(process)} (process {process.name})"


def _open_files(process: Path) -> Iterator[str]:
    try:
        descriptors = list((process / "fd").iterdir())
    except OSError:  # another user's, or just ended: nothing to tell
        return
    for descriptor in descriptors:
        with suppress(OSError):  # closed meanwhile
            yield str(descriptor.readlink())


def _name(process: Path) -> str:
    try:
        return (process / "comm").read_text().strip()
    except OSError:  # just ended
        return "a program"
