"""A workshop whose bench is idle: nothing has a lead, so that only a person makes things happen."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from demo_day import START_S, address_of

WORKSHOP = """
[workshop]
name = "Weir Street"
timezone = "UTC"
data = "data"

[[bench]]
name = "sill"

[[instrument]]
name = "sill-scale"
bench = "sill"
role = "scale"
kind = "manual"
"""

THERMOMETERS = """
[[instrument]]
name = "sill-pot"
bench = "sill"
role = "pot"
kind = "manual"

[[instrument]]
name = "sill-pitcher"
bench = "sill"
role = "pitcher"
kind = "manual"
"""

API = """
[api]
port = 0
"""


@contextmanager
def idle_workshop(folder: Path, further: str = "") -> Iterator[str]:
    """Run `pourkeep serve` in a folder, with `further` configuration, and give its address."""
    config = folder / "workshop.toml"
    config.write_text(WORKSHOP + further + API, encoding="utf-8")
    process = subprocess.Popen(
        [
            *(sys.executable, "-c", "from api.command_line import main; main()"),
            *("serve", "--config", str(config)),
        ],
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        yield address_of(process)
    finally:
        process.terminate()
        process.communicate(timeout=START_S)
