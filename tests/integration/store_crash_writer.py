"""A service reduced to its commits, for the test that kills it: `FOLDER RUN [seal]`.

Prints the number and time of each weighing once its commit has returned; with `seal`, what is
stored is sealed at once, in small blocks.
"""

import asyncio
import sys
from pathlib import Path

from store_samples import START_US, lot_opened, scale_readings, weighing

from collector.store import Store
from collector.store.sealing import Sealing

RUN_US = 3_600_000_000
AT_ONCE = Sealing(block_readings=10, settled_us=0, pause_us=0)


async def write_for_ever(folder: Path, run: int, *, seal: bool) -> None:
    store = Store.open(folder, sealing=AT_ONCE)
    start_us = START_US + run * RUN_US
    lot = f"2026-11-25-{run}"
    await store.commit([], [lot_opened(lot, start_us)])
    for at_us in range(start_us, start_us + RUN_US, 10_000):
        readings = scale_readings(at_us)
        (seq,) = await store.commit(readings, [weighing(readings, lot)])
        sys.stdout.write(f"{seq} {at_us}\n")
        sys.stdout.flush()
        if seal:
            await store.maintain(at_us + 10_000)


if __name__ == "__main__":
    asyncio.run(write_for_ever(Path(sys.argv[1]), int(sys.argv[2]), seal="seal" in sys.argv))
