"""`pourkeep check`: validates a config file and its recipes, and tries instruments and broker."""

import argparse
from collections.abc import Iterator
from pathlib import Path

from collector.clock import SystemClock
from collector.config import Config, Mqtt, load_config
from collector.link.trial import try_broker
from collector.readers.trial import TrialResult, try_instrument
from collector.recipe_file import recipe_files

WAIT_S = 5.0
"""A thermometer that is asked once a second answers within two; a sleeping scale never."""


def run(arguments: argparse.Namespace) -> int:
    """Print a line for each recipe, instrument and broker; fail where one is not well.

    Raises DocumentError for a config or recipe that `pourkeep serve` would refuse.
    """
    config = load_config(arguments.config)
    print(f"{arguments.config}: understood")
    if config.recipes is not None:
        _read_recipes(config.recipes, arguments.config.absolute().parent)
    return 0 if _try_instruments(config) else 1


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


def _results(config: Config) -> Iterator[TrialResult]:
    for instrument in config.instruments:
        if not isinstance(instrument.link, Mqtt):
            yield try_instrument(instrument, SystemClock(), WAIT_S)
    yield from try_broker(config)
