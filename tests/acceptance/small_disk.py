"""Disks that are really full: a small file system, or a limit that the kernel puts on files.

`SmallFileSystem` is a tmpfs of a few megabytes in a mount namespace of its own: writes fail with
ENOSPC, as on a full card. It needs the right to mount, or user namespaces (unshare(1)).
`LimitedFiles` lowers RLIMIT_FSIZE of the running service, so that no file can grow: writes fail
with EFBIG, see setrlimit(2). That works everywhere, and stands for every other disk that refuses.
"""

import os
import resource
import shutil
import subprocess
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Protocol, Self

from service_process import ENTRY

SIZE_MB = 6


class SmallDisk(Protocol):
    """A place for the data folder that can be filled and given space again."""

    @property
    def program(self) -> Sequence[str]:
        """What runs `pourkeep` where it sees the place."""
        ...

    def fill(self, pid: int) -> None:
        """Leave no space for the service of a process."""
        ...

    def give_space(self, pid: int) -> None:
        """Give space again."""
        ...

    def output(self, *command: str) -> str:
        """Return what a command says that sees the place; it must succeed."""
        ...

    def end(self) -> None:
        """Leave nothing behind."""
        ...


class SmallFileSystem:
    """A file system of its own under a folder."""

    said = "the disk is full"

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        rights = () if os.geteuid() == 0 else ("--user", "--map-root-user")
        mount = f"mount -t tmpfs -o size={SIZE_MB}m none '{folder}' && echo mounted && exec cat"
        self._holder = subprocess.Popen(
            ["unshare", *rights, "--mount", "sh", "-c", mount],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        assert self._holder.stdout is not None
        self.mounted = self._holder.stdout.readline() == "mounted\n"
        inside = ("--user", "--preserve-credentials") if rights else ()
        where = ("--target", str(self._holder.pid), f"--wd={Path.cwd()}")
        self._enter = ("nsenter", *where, *inside, "--mount")

    @property
    def program(self) -> Sequence[str]:
        """What runs `pourkeep` inside."""
        return (*self._enter, sys.executable, "-c", ENTRY)

    def fill(self, _pid: int) -> None:
        """Fill it to the last byte."""
        filler = f"dd if=/dev/zero of='{self._folder}/filler' bs=4096 2>/dev/null"
        subprocess.run([*self._enter, "sh", "-c", filler], check=False)

    def give_space(self, _pid: int) -> None:
        """Remove what fills it."""
        self.output("rm", f"{self._folder}/filler")

    def output(self, *command: str) -> str:
        """Run a command inside."""
        done = subprocess.run([*self._enter, *command], capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    def end(self) -> None:
        """Let the file system go with the last process in its namespace."""
        self._holder.communicate("")

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.end()


class LimitedFiles:
    """A folder whose files cannot grow for a while."""

    said = "the disk cannot be read or written"

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    @property
    def program(self) -> Sequence[str]:
        """What runs `pourkeep`."""
        return (sys.executable, "-c", ENTRY)

    def fill(self, pid: int) -> None:
        """Let no file grow any more."""
        size = (self._folder / "pourkeep.db-wal").stat().st_size
        _, hard = resource.prlimit(pid, resource.RLIMIT_FSIZE)
        resource.prlimit(pid, resource.RLIMIT_FSIZE, (size, hard))

    def give_space(self, pid: int) -> None:
        """Let files grow."""
        _, hard = resource.prlimit(pid, resource.RLIMIT_FSIZE)
        resource.prlimit(pid, resource.RLIMIT_FSIZE, (hard, hard))

    def output(self, *command: str) -> str:
        """Run a command."""
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    def end(self) -> None:
        """Do nothing: the limit goes with the process."""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.end()


def fullest_disk(folder: Path) -> "SmallFileSystem | LimitedFiles":
    """Return a small file system where this machine allows one, else limited files."""
    if shutil.which("unshare") and shutil.which("nsenter"):
        disk = SmallFileSystem(folder)
        if disk.mounted:
            return disk
        with suppress(OSError):  # it has ended already
            disk.end()
    return LimitedFiles(folder)
