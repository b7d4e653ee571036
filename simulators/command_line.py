"""`python -m simulators`: a simulated pour day, or the list of its instruments."""

import argparse
import json
import signal
import sys
import time
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from types import FrameType
from typing import NoReturn

from simulators.day import DayPlan, simulate_day
from simulators.layout import Layout
from simulators.scenario import ScenarioError, load_scenario, scenario_names
from simulators.service import ServiceError

FAILED = 1
TERMINATED = 128 + signal.SIGTERM
INTERRUPTED = 128 + signal.SIGINT


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; return the exit code."""
    options = _parser().parse_args(arguments)
    command: Callable[[argparse.Namespace], int] = options.command
    return command(options)


def lay_out(options: argparse.Namespace) -> int:
    """Print the instruments that a day in the folder will offer, as JSON."""
    instruments = Layout(options.dir.absolute()).instruments()
    sys.stdout.write(json.dumps(instruments, indent=2) + "\n")
    return 0


def day(options: argparse.Namespace) -> int:
    """Simulate a day. A request to stop ends it at once, with 128 plus the signal's number."""
    signal.signal(signal.SIGTERM, _terminate)
    try:
        simulate_day(_plan(options))
    except (ScenarioError, ServiceError, TimeoutError) as error:
        sys.stderr.write(f"The simulated day stopped: {error}\n")
        return FAILED
    except KeyboardInterrupt:
        return INTERRUPTED
    return 0


def _terminate(_number: int, _frame: FrameType | None) -> NoReturn:
    raise SystemExit(TERMINATED)


def _plan(options: argparse.Namespace) -> DayPlan:
    return DayPlan(
        scenario=load_scenario(options.scenario),
        layout=Layout(options.dir.absolute()),
        clock=options.clock,
        start_us=options.start,
        speed=options.speed,
        seed=options.seed,
        api=options.api,
        marks=not options.no_marks,
        quiet=options.quiet,
        waits=options.waits,
        stays=options.stays,
    )


def _speed(text: str) -> float:
    speed = float(text)
    if not 0.0 < speed <= 1000.0:
        raise argparse.ArgumentTypeError("the speed is a number above 0, at most 1000")
    return speed


def _instant(text: str) -> int:
    """Return an RFC 3339 time as UTC microseconds since 1970."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"not an RFC 3339 time: {text}") from error
    if moment.tzinfo is None:
        raise argparse.ArgumentTypeError(f"{text} has no offset from UTC; end it with Z")
    return round(moment.astimezone(UTC).timestamp()) * 1_000_000


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m simulators", description=__doc__)
    commands = parser.add_subparsers(required=True)
    listing = commands.add_parser("layout", help="print the instruments as JSON")
    listing.add_argument("--dir", type=Path, required=True, help="folder of the ports")
    listing.set_defaults(command=lay_out)
    _add_day(commands.add_parser("day", help="simulate a pour day"))
    return parser


def _add_day(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--dir", type=Path, required=True, help="folder of the ports")
    parser.add_argument("--clock", type=Path, required=True, help="file of the day's clock")
    parser.add_argument("--speed", type=_speed, default=1.0, help="times real time")
    parser.add_argument("--scenario", choices=scenario_names(), default="lantern_yard")
    parser.add_argument("--seed", type=int, default=7, help="of habits and noise")
    parser.add_argument("--start", type=_instant, default=time.time_ns() // 1000, help="RFC 3339")
    parser.add_argument("--api", default="http://127.0.0.1:8420", help="address of the service")
    parser.add_argument("--no-marks", action="store_true", help="the maker marks no phases")
    parser.add_argument(
        "--waits", action="store_true", help="the maker pours only what somebody opens"
    )
    parser.add_argument(
        "--stays", action="store_true", help="the instruments go on when the day is over"
    )
    parser.add_argument("--quiet", action="store_true", help="tell nothing on stderr")
    parser.set_defaults(command=day)
