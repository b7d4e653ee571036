"""One service per data folder: a lock that ends with the process that holds it."""

import fcntl
import os
from pathlib import Path

from collector.errors import StoreError

FILE_NAME = "pourkeep.lock"


class FolderLock:
    """The right to write in a data folder, from `FolderLock(folder)` until `release()`.

    The kernel ends the lock with the process, however that dies, so a lock file left behind
    is no obstacle. Raises StoreError, naming the process, where another one holds it.
    """

    def __init__(self, folder: Path) -> None:
        self._file = _open(folder)
        try:
            self._take(folder)
        except BaseException:
            os.close(self._file)
            raise

    def _take(self, folder: Path) -> None:
        try:
            fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            pid = os.pread(self._file, 20, 0).decode(errors="replace").strip()
            raise StoreError(
                f"{folder}: another service is using this data folder (process {pid or 'unknown'})."
                " Stop that one or choose another folder."
            ) from error
        os.ftruncate(self._file, 0)
        os.pwrite(self._file, f"{os.getpid()}\n".encode(), 0)

    def release(self) -> None:
        """Give the folder free. The file stays: removing it could part two waiting services."""
        os.close(self._file)


def _open(folder: Path) -> int:
    try:
        return os.open(folder / FILE_NAME, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o644)
    except OSError as error:
        raise StoreError(
            f"{folder}: {FILE_NAME} cannot be written here ({error.strerror}). Give the account"
            " that runs the service the right to write in this folder, or choose another one."
        ) from error
