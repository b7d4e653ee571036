"""`pourkeep collect`: reads the instruments here and forwards to a hub until told to stop."""

import argparse
import asyncio
import logging
import os
from functools import partial

from api.command_line import log_lines
from api.server import STOP_SIGNALS
from api.supervision import status_of_bench, supervised
from api.systemd import Notifier
from collector.clock import SystemClock
from collector.collection import collecting
from collector.config import Config, load_config


def run(arguments: argparse.Namespace) -> int:
    """Collect for the workshop of a config file."""
    log_lines.set_up(arguments.log, logging.INFO)
    config = load_config(arguments.config, collects=True)
    asyncio.run(_collect(config))
    return 0


async def _collect(config: Config) -> None:
    told_to_stop = asyncio.Event()
    loop = asyncio.get_running_loop()
    for number in STOP_SIGNALS:
        loop.add_signal_handler(number, told_to_stop.set)
    async with collecting(config, SystemClock()) as collection:
        benches = ", ".join(config.benches)
        broker = config.mqtt.host if config.mqtt is not None else ""
        print(f"pourkeep: {config.name} collects at {benches} for {broker}", flush=True)
        collection.running.add_done_callback(lambda _: told_to_stop.set())
        status = partial(status_of_bench, collection)
        async with supervised(collection, status, Notifier(os.environ)):
            await told_to_stop.wait()
