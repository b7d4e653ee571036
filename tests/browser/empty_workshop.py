"""A simulated workshop in a process of its own, with instruments and nothing else yet."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from demo_day import START_S, address_of


@contextmanager
def empty_workshop(data: Path) -> Iterator[str]:
    """Run `pourkeep demo --empty` on a folder and give its address."""
    arguments = ["demo", "--empty", "--data", str(data), "--port", "0"]
    process = subprocess.Popen(
        [sys.executable, "-c", "from api.command_line import main; main()", *arguments],
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        yield address_of(process)
    finally:
        process.terminate()
        process.communicate(timeout=START_S)
