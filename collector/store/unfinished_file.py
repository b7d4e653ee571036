"""A file that gets its name only once it is whole and on disk."""

import errno
import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Self

from collector.errors import BackupError

ENDING = ".unfinished"
SQLITE_ENDINGS = ("-journal", "-wal", "-shm")
"""What SQLite lays beside a database (https://www.sqlite.org/tempfiles.html)."""


class UnfinishedFile:
    """A file made at `path`, beside its final place; `finish()` gives it its name.

    Use it as a context: left without `finish()`, nothing of it stays. What a cut left of an
    earlier one is cleared away first. Raises BackupError where the place is taken, where
    another process is making the same file, or where the folder refuses.
    """

    def __init__(self, final: Path) -> None:
        self.final = final
        self.path = final.with_name(final.name + ENDING)
        self._file = -1
        self._finished = False

    def __enter__(self) -> Self:
        refuse_taken(self.final)
        with telling(self.final):
            # Not through a link: whatever it names is not ours to write over.
            flags = os.O_RDWR | os.O_CREAT | os.O_CLOEXEC | os.O_NOFOLLOW
            self._file = os.open(self.path, flags, 0o644)
            try:
                self._own()
            except BaseException:
                os.close(self._file)
                raise
        return self

    def _own(self) -> None:
        try:
            fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise self._contended() from None
        # Between opening and locking, the other one may have finished the very same file.
        if not self._is_ours():
            raise self._contended()
        self._clear_siblings()
        os.ftruncate(self._file, 0)

    def _is_ours(self) -> bool:
        try:
            return os.path.samestat(os.fstat(self._file), self.path.lstat())
        except FileNotFoundError:
            return False

    def _contended(self) -> BackupError:
        return BackupError(f"{self.final}: another process is writing this file. Let it finish.")

    def __exit__(
        self,
        _kind: type[BaseException] | None,
        _error: BaseException | None,
        _trace: TracebackType | None,
    ) -> None:
        if not self._finished:
            self._clear_siblings()
            self.path.unlink(missing_ok=True)
        os.close(self._file)

    def sync(self) -> None:
        """Bring to disk what has been written so far."""
        with telling(self.final):
            os.fsync(self._file)

    def finish(self) -> None:
        """Sync the file, give it its name, sync the folder."""
        self.sync()
        with telling(self.final):
            self._clear_siblings()
            self._name()
            self._finished = True
            sync_folder(self.final.parent)

    def _name(self) -> None:
        try:
            os.link(self.path, self.final)  # unlike a renaming, it never replaces a file
        except FileExistsError:
            refuse_taken(self.final)
            raise
        except OSError:  # no hard links here: FAT has none
            refuse_taken(self.final)
            self.path.rename(self.final)
        else:
            self.path.unlink()

    def _clear_siblings(self) -> None:
        for ending in SQLITE_ENDINGS:
            self.path.with_name(self.path.name + ending).unlink(missing_ok=True)


def refuse_taken(path: Path) -> None:
    """Raise BackupError where there is something by this name."""
    if os.path.lexists(path):
        raise BackupError(
            f"{path}: there is a file by this name already, and it stays as it is. Choose another"
            " name."
        )


@contextmanager
def telling(path: Path) -> Iterator[None]:
    """Turn what the system refuses in the block into BackupError."""
    try:
        yield
    except OSError as error:
        raise BackupError(
            f"{path}: this file could not be made ({error.strerror}). Look after the disk and the"
            " folder, or choose another place."
        ) from error


def sync_folder(folder: Path) -> None:
    """Bring a folder's list of names to disk. Raises OSError."""
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno != errno.EINVAL:  # fsync(2): such a file system has no syncing of folders
            raise
    finally:
        os.close(handle)
