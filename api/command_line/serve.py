"""`pourkeep serve`: collects, judges and serves until it is told to stop."""

import argparse
import asyncio
import logging
import sys

from api.server import address, listen, make_server
from collector.clock import SystemClock
from collector.config import Config, load_config
from collector.workshop import Workshop

LOG_FORMAT = "%(asctime)s %(levelname)s %(name)s: %(message)s"


def run(arguments: argparse.Namespace) -> int:
    """Serve the workshop of a config file."""
    logging.basicConfig(level=logging.INFO, format=LOG_FORMAT, stream=sys.stderr)
    config = load_config(arguments.config)
    asyncio.run(_serve(config))
    return 0


async def _serve(config: Config) -> None:
    sock = listen(config.api.host, config.api.port)
    with sock:
        async with Workshop(config, SystemClock()) as workshop:
            print(f"pourkeep: {config.name} is on {address(sock)}", flush=True)
            await make_server(workshop).serve(sockets=[sock])
