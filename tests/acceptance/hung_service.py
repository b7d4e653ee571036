"""The service with places where a test makes it hang, and little patience with that.

Run as a program: the folder with the test's wishes, then the arguments of `pourkeep`. While the
folder has a file of that name, the `writer`, the `reader` or the `loop` waits.
"""

import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from api import progress_watch
from api.command_line import main
from collector.pipeline import Pipeline
from collector.readers.serial_port import SerialPort
from collector.store.ledger import Ledger

PATIENCE_S = 0.8


def hang(owner: type, method: str, wish: Path) -> None:
    """Let a method wait before its work while there is a wish."""
    work: Callable[..., Any] = getattr(owner, method)

    def waiting(*arguments: object) -> object:
        while wish.exists():
            time.sleep(0.02)
        return work(*arguments)

    setattr(owner, method, waiting)


if __name__ == "__main__":
    wishes = Path(sys.argv[1])
    hang(Ledger, "commit", wishes / "writer")
    hang(SerialPort, "read", wishes / "reader")
    hang(Pipeline, "_look_at_clock", wishes / "loop")
    progress_watch.COMMIT_S = progress_watch.READER_S = PATIENCE_S
    progress_watch.BEAT_S = 3 * PATIENCE_S
    sys.exit(main(sys.argv[2:]))
