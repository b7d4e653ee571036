"""A workshop with a day of lots that are over: made without wires, stored, and then served."""

import asyncio
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import msgspec
from demo_day import START_S, address_of
from made_lots import MORNING_US, judged, made_day

from collector.events import AnyEvent
from collector.lot_events import LotOpened, RecipeKept
from collector.store import Store
from simulators.layout import BENCH, DEVICES, SCALE
from simulators.scenario import load_scenario

WORKSHOP = f"""
[workshop]
name = "Weir Street"
timezone = "UTC"
data = "data"

[[bench]]
name = "{BENCH}"
"""
SCENARIO = "lantern_yard"
LOTS = 4
DAY = "2026-11-25"
ALIKE = (f"{DAY}-1", f"{DAY}-4")
"""Two lots of one recipe."""
LIGHT = f"{DAY}-2"
"""A lot whose fourth vessel is six grams light, and nothing else that was weighed is off."""


@contextmanager
def made_workshop(folder: Path) -> Iterator[str]:
    """Make the day, run `pourkeep serve` on it in a folder, and give its address."""
    with ThreadPoolExecutor(1) as thread:  # the browser's event loop goes on in this one
        thread.submit(lambda: asyncio.run(_keep(folder / "data"))).result()
    config = folder / "workshop.toml"
    config.write_text(_config(), encoding="utf-8")
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


async def _keep(data: Path) -> None:
    readings, journal = judged(made_day(SCENARIO, LOTS))
    store = Store.open(data)
    await store.commit(readings, [*_recipes(journal), *journal])
    store.close()


def _recipes(journal: list[AnyEvent]) -> list[RecipeKept]:
    """Return the lots' recipes as somebody handed them over in the morning."""
    documents = {card.name: card.document for card in load_scenario(SCENARIO).recipes}
    opened = {e.recipe.name: e.recipe for e in journal if isinstance(e, LotOpened)}
    return [
        RecipeKept(
            at_us=MORNING_US,
            bench=None,
            lot=None,
            recipe=recipe,
            document=msgspec.Raw(msgspec.json.encode(documents[name])),
        )
        for name, recipe in opened.items()
    ]


def _config() -> str:
    """Return a workshop whose instruments have the day's names and no lead."""
    roles = {SCALE: "scale", **{name: name.removeprefix(f"{BENCH}-") for name in DEVICES}}
    instruments = [
        f'[[instrument]]\nname = "{name}"\nbench = "{BENCH}"\nrole = "{role}"\nkind = "manual"\n'
        for name, role in roles.items()
    ]
    return "\n".join([WORKSHOP, *instruments, "[api]\nport = 0\n"])
