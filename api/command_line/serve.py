"""`pourkeep serve`: collects, judges and serves until it is told to stop."""

import argparse
import asyncio
import faulthandler
import logging
import os
from functools import partial
from pathlib import Path

from api.command_line import log_lines
from api.server import address, listen, make_server
from api.supervision import status_of, supervised
from api.systemd import Notifier
from collector.clock import SystemClock
from collector.config import Config, load_config
from collector.errors import DocumentError
from collector.workshop import Workshop


def run(arguments: argparse.Namespace) -> int:
    """Serve the workshop of a config file."""
    log_lines.set_up(arguments.log, logging.INFO)
    faulthandler.enable()  # a watchdog that ends the service leaves in the log where it hung
    config = load_config(_there(arguments.config))
    asyncio.run(_serve(config))
    return 0


def _there(config: Path) -> Path:
    """Return the path of a config file. Raises DocumentError, with a way to begin, for none."""
    if not config.exists():
        raise DocumentError(
            str(config),
            (),
            "there is no such file. It names the instruments of your workshop: the README shows"
            " one to begin with. To try everything without any, run: pourkeep demo --empty",
        )
    return config


async def _serve(config: Config) -> None:
    sock = listen(config.api.host, config.api.port)
    with sock:
        async with Workshop(config, SystemClock()) as workshop:
            print(f"pourkeep: {config.name} is on {address(sock)}", flush=True)
            status = partial(status_of, workshop)
            async with supervised(workshop, status, Notifier(os.environ)):
                await make_server(workshop).serve(sockets=[sock])
