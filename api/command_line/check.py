"""`pourkeep check`: validates a config file and its recipes, and tries what it names."""

import argparse
from collections.abc import Iterator
from pathlib import Path

from collector.clock import SystemClock
from collector.config import Config, Mqtt, load_config
from collector.errors import RemoteStoreError
from collector.link.trial import try_broker
from collector.messenger import Messenger, labels
from collector.notices_config import OPEN_FILE
from collector.readers.trial import TrialResult, try_instrument
from collector.recipe_file import recipe_files
from collector.store.influx.server import InfluxServer

WAIT_S = 5.0
"""A thermometer that is asked once a second answers within two; a sleeping scale never."""


def run(arguments: argparse.Namespace) -> int:
    """Print a line for each recipe, instrument, broker and server; fail where one is not well.

    Raises DocumentError for a config or recipe that `pourkeep serve` would refuse.
    """
    config = load_config(arguments.config)
    print(f"{arguments.config}: understood")
    if config.recipes is not None:
        _read_recipes(config.recipes, arguments.config.absolute().parent)
    _tell_of_notices(config)
    all_read, answered = _try_instruments(config), _try_influx(config)
    return 0 if all_read and answered else 1


def _read_recipes(recipes: Path, folder: Path) -> None:
    """Print the name of each recipe. Raises DocumentError for the first that cannot be used."""
    for path, recipe, _document in recipe_files(recipes):
        shown = path.relative_to(folder) if path.is_relative_to(folder) else path
        print(f"ok   {shown}: {recipe.name}", flush=True)


def _try_instruments(config: Config) -> bool:
    """Print how each instrument and the broker do; return whether all of them are well."""
    failed = 0
    for result in _results(config):
        print(f"{'ok  ' if result.ok else 'FAIL'} {result.sentence}", flush=True)
        failed += not result.ok
    return failed == 0


def _try_influx(config: Config) -> bool:
    """Print how the scale-out history does; return whether it answers, where there is one."""
    if config.influx is None:
        return True
    try:
        InfluxServer(config.influx).query("SHOW DATABASES")
    except RemoteStoreError as error:
        print(f"FAIL influx: {error.message}", flush=True)
        return False
    print(f"ok   influx: {config.influx.url} answers", flush=True)
    return True


def _tell_of_notices(config: Config) -> None:
    """Print who is told. Nothing is sent: a test by itself would make people doubt the next."""
    if config.notices is None:
        return
    for target in labels(Messenger(url) for url in config.notices.urls):
        print(f"ok   notices: {target} is understood; send a test from /notices", flush=True)
    if config.notices.open_file is not None:
        print(f"note {config.notices.open_file}: {OPEN_FILE}", flush=True)


def _results(config: Config) -> Iterator[TrialResult]:
    for instrument in config.instruments:
        if not isinstance(instrument.link, Mqtt):
            yield try_instrument(instrument, SystemClock(), WAIT_S)
    yield from try_broker(config)
