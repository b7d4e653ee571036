"""Arguments in, exit code out."""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from importlib.metadata import version
from pathlib import Path

from api.command_line import (
    alarms,
    backup,
    check,
    collect,
    demo,
    export,
    log_lines,
    lots,
    rebuild,
    replay,
    serve,
    verify,
)
from api.export.formats import FORMATS
from collector.errors import DocumentError, PourkeepError

EXIT_FAILED = 1
EXIT_MISUSED = 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command and return its exit code: 0 done, 1 failed, 2 called or configured wrong."""
    parsed = parser().parse_args(arguments)
    try:
        return _finished(parsed)
    except DocumentError as error:
        print(f"pourkeep: {error.message}", file=sys.stderr)
        return EXIT_MISUSED
    except PourkeepError as error:
        print(f"pourkeep: {error}", file=sys.stderr)
        return EXIT_FAILED
    except BrokenPipeError:  # whoever read it has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return EXIT_FAILED
    except KeyboardInterrupt:
        return 130


def _finished(parsed: argparse.Namespace) -> int:
    code = int(parsed.run(parsed))
    sys.stdout.flush()  # a reader who has gone shows here, not while Python ends
    return code


def parser() -> argparse.ArgumentParser:
    """Return the parser of all commands."""
    top = argparse.ArgumentParser(
        prog="pourkeep",
        description="Watches the scales and thermometers of a candle maker's pour day.",
        epilog="pourkeep records and warns. It never switches heat and is no safety device.",
    )
    top.add_argument("--version", action="version", version=version("pourkeep"))
    commands = top.add_subparsers(title="commands", required=True, metavar="COMMAND")
    for name, does, add in _COMMANDS:
        add(commands.add_parser(name, help=does))
    return top


def _add_serve(one: argparse.ArgumentParser) -> None:
    _reads_config(one)
    _logs(one)
    one.set_defaults(run=serve.run)


def _add_collect(one: argparse.ArgumentParser) -> None:
    _reads_config(one)
    _logs(one)
    one.set_defaults(run=collect.run)


def _add_demo(one: argparse.ArgumentParser) -> None:
    one.add_argument("--speed", type=_speed, help="times faster than life (20; 5 with --empty)")
    one.add_argument(
        "--empty",
        action="store_true",
        help="no recipe and no lot yet: make the first on the page, and it is poured for you",
    )
    one.add_argument("--once", action="store_true", help="end when the day is over")
    one.add_argument("--data", type=Path, metavar="DIR", help="keep the data here")
    one.add_argument("--port", type=_port, default=8420, help="of the page on this machine (8420)")
    one.add_argument(
        "--scenario",
        type=_scenario,
        default="lantern_yard",
        help=f"which simulated day: {', '.join(demo.SCENARIOS)} (lantern_yard)",
    )
    one.add_argument("--seed", type=int, default=7, help="of the day's small accidents (7)")
    one.add_argument("--no-marks", action="store_true", help="the maker marks no phases")
    _logs(one)
    one.set_defaults(run=demo.run)


def _add_check(one: argparse.ArgumentParser) -> None:
    _reads_config(one)
    one.set_defaults(run=check.run)


def _add_lots(one: argparse.ArgumentParser) -> None:
    _reads_data(one)
    one.set_defaults(run=lots.run_list)


def _add_lot(one: argparse.ArgumentParser) -> None:
    one.add_argument("id", help="the lot, for example 2026-11-25-1")
    _reads_data(one)
    one.set_defaults(run=lots.run_show)


def _add_alarms(one: argparse.ArgumentParser) -> None:
    _reads_data(one)
    one.add_argument("--from", dest="since", type=_moment, metavar="TIME", help="first alarm")
    one.add_argument("--to", dest="until", type=_moment, metavar="TIME", help="last alarm")
    one.set_defaults(run=alarms.run)


def _add_export(one: argparse.ArgumentParser) -> None:
    one.add_argument("id", help="the lot, for example 2026-11-25-1")
    one.add_argument("--data", type=Path, required=True, metavar="DIR")
    one.add_argument(
        "--format",
        choices=tuple(FORMATS),
        required=True,
        help="csv for a spreadsheet, parquet for a notebook, jsonl for a program",
    )
    one.add_argument(
        "--out", type=Path, metavar="F", help="a file that is not there (standard output)"
    )
    one.set_defaults(run=export.run)


def _add_rebuild(one: argparse.ArgumentParser) -> None:
    one.add_argument("--data", type=Path, required=True, metavar="DIR")
    one.set_defaults(run=rebuild.run)


def _add_verify(one: argparse.ArgumentParser) -> None:
    one.add_argument("--data", type=Path, required=True, metavar="DIR")
    one.add_argument("--all", action="store_true", help="list every fault, however many")
    one.set_defaults(run=verify.run)


def _add_backup(one: argparse.ArgumentParser) -> None:
    one.add_argument("--data", type=Path, required=True, metavar="DIR")
    one.add_argument("--to", type=Path, required=True, metavar="F", help="a file that is not there")
    one.set_defaults(run=backup.run_backup)


def _add_restore(one: argparse.ArgumentParser) -> None:
    one.add_argument("--from", dest="backup", type=Path, required=True, metavar="F")
    one.add_argument(
        "--data", type=Path, required=True, metavar="DIR", help="a folder without a store"
    )
    one.set_defaults(run=backup.run_restore)


def _add_replay(one: argparse.ArgumentParser) -> None:
    which = one.add_mutually_exclusive_group(required=True)
    which.add_argument("id", nargs="?", help="the lot, for example 2026-11-25-1")
    which.add_argument("--all", action="store_true", help="every lot, a line each")
    one.add_argument("--since", type=_day, metavar="DATE", help="with --all: opened since (UTC)")
    one.add_argument("--until", type=_day, metavar="DATE", help="with --all: and until, included")
    one.add_argument("--of", metavar="NAME", help="with --all: lots of the recipe of this name")
    one.add_argument(
        "--recipe", type=Path, metavar="recipe.toml", help="by the limits of this recipe"
    )
    _reads_data(one)
    one.set_defaults(run=replay.run)


_COMMANDS: tuple[tuple[str, str, Callable[[argparse.ArgumentParser], None]], ...] = (
    ("serve", "collect, judge and serve until stopped", _add_serve),
    ("collect", "read the instruments here for a hub, over MQTT", _add_collect),
    ("demo", "a simulated pour day, in the browser while it runs", _add_demo),
    ("check", "validate a config and try each instrument", _add_check),
    ("lots", "list the lots of a data folder", _add_lots),
    ("lot", "show one lot", _add_lot),
    ("replay", "judge stored lots again", _add_replay),
    ("alarms", "the log of alarms, and figures from it", _add_alarms),
    ("export", "a lot as CSV, Parquet or JSON lines", _add_export),
    ("verify", "check the journal's chain and the store", _add_verify),
    ("rebuild", "make afresh what follows from the journal", _add_rebuild),
    ("backup", "a checked copy, while the service runs", _add_backup),
    ("restore", "make a backup the store of a new folder", _add_restore),
)
"""What each command is called, what it does, and what adds its arguments."""


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(
            f"a date is written like 2026-11-25, not {text!r}"
        ) from None


def _logs(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--log",
        choices=log_lines.FORMS,
        default="text",
        help="the log as text, or as a JSON object a line (text)",
    )


def _reads_config(command: argparse.ArgumentParser) -> None:
    command.add_argument("--config", type=Path, required=True, metavar="workshop.toml")


def _reads_data(command: argparse.ArgumentParser) -> None:
    command.add_argument("--json", action="store_true", help="as JSON")
    command.add_argument("--data", type=Path, required=True, metavar="DIR")


def _speed(text: str) -> float:
    try:
        speed = float(text)
    except ValueError:
        speed = 0.0
    if not 0 < speed <= 1000:
        raise argparse.ArgumentTypeError(
            f"a speed is a number above 0 and at most 1000, not {text!r}"
        )
    return speed


def _port(text: str) -> int:
    if not (text.isascii() and text.isdigit() and int(text) <= 65535):
        raise argparse.ArgumentTypeError(
            f"a port is a whole number from 0, for any that is free, to 65535, not {text!r}"
        )
    return int(text)


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(
            f"a time is written 2026-11-25 or 2026-11-25T14:30, in UTC, not {text!r}"
        ) from None
    return moment if moment.tzinfo is not None else moment.replace(tzinfo=UTC)


def _scenario(text: str) -> str:
    if text not in demo.SCENARIOS:
        raise argparse.ArgumentTypeError(
            f"there is no simulated day {text!r}; choose one of {', '.join(demo.SCENARIOS)}"
        )
    return text
