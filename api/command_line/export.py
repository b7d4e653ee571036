"""`pourkeep export`: a lot as a file for other programs, while the service runs or not."""

import argparse
import sys
from pathlib import Path
from typing import IO

from api.command_line.store_words import counted, megabytes
from api.export.formats import FORMATS, Format
from api.export.lot_export import LotExport, read_export
from collector.errors import NotFoundError, PourkeepError
from collector.store.history import History
from collector.store.unfinished_file import UnfinishedFile, telling

_COMPLETE, _INCOMPLETE, _MISUSED = 0, 1, 2


def run(arguments: argparse.Namespace) -> int:
    """Export a lot. 1 also where readings of it are missing: what remains is exported then."""
    chosen = FORMATS[arguments.format]
    if arguments.out is None and not chosen.text and sys.stdout.isatty():
        print(
            f"pourkeep: {chosen.name} is nothing that a terminal could show. Add --out"
            f" {arguments.id}.{chosen.name}, or send it on with > or |.",
            file=sys.stderr,
        )
        return _MISUSED
    chosen.check()
    export = _read(arguments.data, arguments.id)
    if arguments.out is None:
        written = _to_output(export, chosen)
    else:
        written = _to_file(export, chosen, arguments.out)
    return _told(export, written)


def _read(data: Path, lot: str) -> LotExport:
    try:
        return read_export(History(data), lot)
    except NotFoundError:  # whose sentence speaks of HTTP too
        raise NotFoundError(
            f"There is no lot {lot!r}. pourkeep lots --data {data} lists them."
        ) from None


def _to_output(export: LotExport, chosen: Format) -> int:
    try:
        return _write(export, chosen, sys.stdout.buffer, None)
    except BrokenPipeError:
        raise
    except OSError as error:
        raise PourkeepError(
            f"The standard output took no more ({error.strerror}): what is there is not whole."
        ) from error


def _to_file(export: LotExport, chosen: Format, out: Path) -> int:
    """Write a file that gets its name once it is whole. Raises BackupError as it does."""
    with UnfinishedFile(out) as unfinished:
        with telling(out), unfinished.path.open("wb") as file:
            written = _write(export, chosen, file, _Progress(export.readings))
        size = unfinished.path.stat().st_size
        unfinished.finish()
    print(
        f"{out}: lot {export.lot}, {counted(written, 'reading')}, {megabytes(size)}.",
        file=sys.stderr,
    )
    return written


class _Progress:
    """Says on a terminal how far the export has come, in one line that is written over."""

    def __init__(self, readings: int) -> None:
        self._readings = readings
        self._shown = sys.stderr.isatty()
        self._said = -1

    def tell(self, written: int) -> None:
        """Say how many readings are written."""
        percent = 100 * written // max(1, self._readings)
        if self._shown and percent != self._said:
            self._said = percent
            print(f"\r{min(percent, 100):3} % ", end="", file=sys.stderr, flush=True)

    def end(self) -> None:
        """Clear the line for what is said next."""
        if self._said >= 0:
            print("\r      \r", end="", file=sys.stderr, flush=True)


def _write(export: LotExport, chosen: Format, file: IO[bytes], progress: "_Progress | None") -> int:
    """Write the whole of it and return how many readings it holds. Raises OSError."""
    written = 0
    try:
        for piece in chosen.pieces(export):
            file.write(piece.data)
            written += piece.readings
            if progress is not None:
                progress.tell(written)
        file.flush()
    finally:
        if progress is not None:
            progress.end()
    return written


def _told(export: LotExport, written: int) -> int:
    """Say on the side of errors what is missing, and return the exit code."""
    if not export.removed and written >= export.readings:
        return _COMPLETE
    print(
        f"pourkeep: Readings of lot {export.lot} were removed from the store ([store] in"
        f" workshop.toml). What remains is exported: {counted(written, 'reading')}, and all that"
        " was weighed, marked and told.",
        file=sys.stderr,
    )
    return _INCOMPLETE
