"""`pourkeep demo`: a simulated pour day over the real wire path."""

import argparse
import asyncio
import contextlib
import json
import logging
import signal
import sys
import tempfile
from asyncio.subprocess import Process
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from socket import socket

from api import alarm_shapes
from api.command_line import log_lines
from api.command_line.lots import entry_line, show
from api.lot_reading import entries
from api.server import Server, address, listen, make_server
from collector.clock import FollowedClock
from collector.config import load_config
from collector.errors import PourkeepError
from collector.store.database import FILE_NAME
from collector.store.history import History
from collector.workshop import Workshop

SCENARIOS = ("clean", "every_mishap", "lantern_yard", "one_mistake", "short")
"""The days that the simulators offer, which the service does not import."""

DAY_SPEED = 20.0
EMPTY_SPEED = 5.0
"""Slow enough to type a first recipe before a pot counts as left alone."""

DAY_IS_OVER = (
    "pourkeep: the day is over; the bench rests, and the page stays until you press Ctrl+C"
)

START_S = 20.0
"""The simulated instruments speak within a second; a machine under load takes longer."""

Planted = dict[str, str | int | None]


def run(arguments: argparse.Namespace) -> int:
    """Run the day; with --once compare what was found with what was planted.

    Being told to stop is no failure, however far the day has come.
    """
    log_lines.set_up(arguments.log, logging.WARNING)
    if arguments.empty and arguments.once:
        raise PourkeepError("An empty workshop has no end: leave out --once or --empty.")
    if arguments.data is not None:
        refuse_used(arguments.data)
    # Either way to stop cancels the one task of asyncio.run, so that all is taken down in order.
    # SIGINT by name, for a shell's background job ignores it, and asyncio then leaves it so.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    signal.signal(signal.SIGTERM, lambda *_: signal.raise_signal(signal.SIGINT))
    try:
        return _run_day(arguments)
    except KeyboardInterrupt:
        print("pourkeep: the demo ended", flush=True)
        return 0


def speed_of(arguments: argparse.Namespace) -> float:
    """Return how many times faster than life it goes."""
    if arguments.speed is not None:
        return float(arguments.speed)
    return EMPTY_SPEED if arguments.empty else DAY_SPEED


def refuse_used(data: Path) -> None:
    """Raise PourkeepError where a folder holds lots: simulated days would overlap."""
    if (data / FILE_NAME).exists() and History(data).lots():
        raise PourkeepError(f"{data} already holds lots; choose another folder or remove it.")


def _run_day(arguments: argparse.Namespace) -> int:
    with tempfile.TemporaryDirectory(prefix="pourkeep-demo-") as scratch:
        data = arguments.data or Path(scratch) / "data"
        planted = asyncio.run(_demo(arguments, Path(scratch), data.absolute()))
        return report(data, planted) if arguments.once else 0


async def _demo(arguments: argparse.Namespace, scratch: Path, data: Path) -> list[Planted]:
    sock = listen("127.0.0.1", arguments.port, "choose another with --port")
    with sock:
        day = await _start_day(arguments, scratch, address(sock))
        try:
            await _wait_for(scratch / "ready", day)
            speed = speed_of(arguments)
            config = load_config(await _write_config(scratch, data, speed))
            clock = FollowedClock(scratch / "clock", speed)
            async with Workshop(config, clock) as workshop:
                what = "simulated workshop" if arguments.empty else "simulated day"
                print(f"pourkeep: the {what} is on {address(sock)}", flush=True)
                over = asyncio.create_task(_day_over(day, scratch / "planted.json"))
                await _follow(day, over, workshop, sock, once=arguments.once)
        finally:
            await _end(day)
    planted: list[Planted] = json.loads((scratch / "planted.json").read_text())
    return planted


async def _start_day(arguments: argparse.Namespace, scratch: Path, url: str) -> Process:
    """Start the simulators as a program of their own: they share nothing but the wires."""
    return await asyncio.create_subprocess_exec(
        *(sys.executable, "-m", "simulators", "day", "--dir", str(scratch)),
        *("--clock", str(scratch / "clock"), "--speed", str(speed_of(arguments))),
        *("--scenario", arguments.scenario, "--seed", str(arguments.seed)),
        *("--api", url.rstrip("/")),
        *(("--no-marks",) if arguments.no_marks else ()),
        *(("--waits",) if arguments.empty else ()),
        *(() if arguments.once else ("--stays",)),
        start_new_session=True,  # Ctrl+C reaches this program only, which ends the day in order
    )


class _DemoServer(Server):
    """Leaves the signals to the demo, which ends the day while there is still a service."""

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Take none."""
        yield


async def _day_over(day: Process, planted: Path) -> None:
    """Wait until the day has said what it planted. Raises PourkeepError where it failed."""
    while not await asyncio.to_thread(planted.exists):
        if day.returncode is not None:
            raise PourkeepError(f"The simulated day ended with exit code {day.returncode}.")
        await asyncio.sleep(0.05)


async def _hang_up(workshop: Workshop) -> None:
    await asyncio.gather(*(asyncio.to_thread(reader.stop) for reader in workshop.readers))


async def _follow(
    day: Process, over: asyncio.Task[None], workshop: Workshop, sock: socket, *, once: bool
) -> None:
    """Serve until the day is over, or, unless `once`, until the demo is told to stop."""
    server = _DemoServer(make_server(workshop).config, workshop)
    serving = asyncio.create_task(server.serve(sockets=[sock]))
    try:
        await asyncio.wait([over, serving], return_when=asyncio.FIRST_COMPLETED)
        if over.done():
            over.result()
        if not once and not serving.done():
            print(DAY_IS_OVER, flush=True)
            await asyncio.wait([serving])
    finally:
        # In this order: no reader misses a port, and no maker misses the service.
        await _hang_up(workshop)
        await _end(day)
        over.cancel()
        server.stop()
        await serving


async def _end(day: Process) -> None:
    if day.returncode is None:
        day.terminate()
        await day.wait()


async def _wait_for(path: Path, day: Process) -> None:
    deadline = asyncio.get_running_loop().time() + START_S
    while not await asyncio.to_thread(path.exists):
        if day.returncode is not None or asyncio.get_running_loop().time() > deadline:
            raise PourkeepError("The simulated instruments did not start.")
        await asyncio.sleep(0.05)


async def _write_config(scratch: Path, data: Path, speed: float) -> Path:
    """Write the workshop.toml for the instruments that the simulators offer.

    On a day that runs fast, half a real second of a busy machine is no silent instrument; one
    that is unplugged is noticed at its port all the same.
    """
    patience_s = max(10.0, speed / 2)
    layout = await asyncio.create_subprocess_exec(
        *(sys.executable, "-m", "simulators", "layout", "--dir", str(scratch)),
        stdout=asyncio.subprocess.PIPE,
        start_new_session=True,  # as above
    )
    output, _ = await layout.communicate()
    instruments = json.loads(output)
    lines = ["[workshop]", 'name = "Lantern Yard"', 'timezone = "UTC"']
    lines.append(f"data = {json.dumps(str(data))}")
    for bench in dict.fromkeys(instrument["bench"] for instrument in instruments):
        lines += ["[[bench]]", f"name = {json.dumps(bench)}"]
    for instrument in instruments:
        lines += ["[[instrument]]", f'silent_after = "{patience_s} s"']
        lines += [f"{key} = {json.dumps(value)}" for key, value in instrument.items()]
    path = scratch / "workshop.toml"
    path.write_text("\n".join(lines) + "\n")
    return path


def report(data: Path, planted: list[Planted]) -> int:
    """Print the lots of the day and hold their deviations against what was planted."""
    expected: Counter[tuple[object, ...]] = Counter(
        (p["lot"], p["rule"], p["vessel"]) for p in planted
    )
    found: Counter[tuple[object, ...]] = Counter()
    for entry in reversed(entries(History(data))):
        lot = show(data, entry.id)
        print(entry_line(entry))
        for deviation in lot.deviations:
            print(f"    {_deviation_line(deviation)}")
            found[lot.id, deviation.rule, deviation.vessel] += 1
    missing, invented = expected - found, found - expected
    for lot_id, rule, vessel in missing.elements():
        print(f"planted but not found: lot {lot_id}, {rule}, vessel {vessel}")
    for lot_id, rule, vessel in invented.elements():
        print(f"found but not planted: lot {lot_id}, {rule}, vessel {vessel}")
    print(f"{expected.total()} faults planted, {(expected & found).total()} of them found.")
    return 1 if missing or invented else 0


def _deviation_line(deviation: alarm_shapes.AlarmShown) -> str:
    return f"{deviation.rule}: {deviation.message}"
