"""`pourkeep check`: validates a config file and tries each instrument."""

import argparse

from collector.clock import SystemClock
from collector.config import load_config
from collector.readers.trial import try_instrument

WAIT_S = 5.0
"""A thermometer that is asked once a second answers within two; a sleeping scale never."""


def run(arguments: argparse.Namespace) -> int:
    """Print a line for each instrument; fail where one gives no reading."""
    config = load_config(arguments.config)
    print(f"{arguments.config}: understood")
    failed = 0
    for instrument in config.instruments:
        result = try_instrument(instrument, SystemClock(), WAIT_S)
        print(f"{'ok  ' if result.ok else 'FAIL'} {result.sentence}", flush=True)
        failed += not result.ok
    return 1 if failed else 0
