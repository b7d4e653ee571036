"""What the bench page costs the browser: processor, memory, and the time until its curve is drawn.

    python tests/benchmarks/browser_cost.py --minutes 60

A bench with an open lot, a scale on a pseudo-terminal and three 1-Wire thermometers, each ten
times a second, and an hour of such readings behind it: 36,000 of each thermometer, two of which
are drawn. All processes of Chromium count, which draws in software. Processor time is read, not
the wall's, so that other work on the machine does not count; opening is by the wall, the best of
a few.
"""

import argparse
import sys
import tempfile
import time
from pathlib import Path

from at_rest import processor_s
from chromium import PageMemory, browsing, chromiums, memory_mb, used_s
from figures import Figure, judge
from playwright.sync_api import Page
from quick_bench import BENCH, HOUR_S, PER_S, QuickBench, fill, open_lot
from served_workshop import Served, scales, serving, write_config

WARM_S = 15.0
OPENINGS = 5
PATIENCE_S = 30.0
SHORT_MINUTES = 1.0

MUST_PERCENT = 10.0
MUST_OPEN_MS = 500.0
MUST_GROW_MB = 1.0
"""The design's budget."""

SEEN_FIRST = """
    // The chart library draws each line as one path, and nothing else with a path of its own.
    const stroke = CanvasRenderingContext2D.prototype.stroke;
    CanvasRenderingContext2D.prototype.stroke = function (...path) {
        if (path.length > 0) window.firstLineAt ??= performance.now();
        return stroke.apply(this, path);
    };
"""


def opened_ms(page: Page, base: str) -> float:
    """Open the bench page; return how long it took until its first curve was drawn."""
    page.goto("about:blank")
    page.goto(base)
    began_s = time.monotonic()
    # Asked from outside: the page's content policy allows no script that waits in it.
    while (at_ms := page.evaluate("window.firstLineAt")) is None:
        assert time.monotonic() - began_s < PATIENCE_S, "no curve was drawn"
        page.wait_for_timeout(20)
    return float(at_ms)


def watched(page: Page, served: Served, minutes: float) -> list[Figure]:
    """Leave the page open for a while; return what that cost."""
    page.wait_for_timeout(WARM_S * 1000)
    session = page.context.new_cdp_session(page)
    before, pids = PageMemory(session), chromiums()
    began_mb, began_s = memory_mb(pids), time.monotonic()
    browser_s, service_s = used_s(pids), processor_s(served.pid)
    page.wait_for_timeout(minutes * 60_000)
    spent_s = time.monotonic() - began_s
    browser = (used_s(pids) - browser_s) / spent_s * 100
    service = (processor_s(served.pid) - service_s) / spent_s * 100
    ended_mb = memory_mb(pids)
    after = PageMemory(session)
    what = f"bench page, 4 instruments at {PER_S} Hz, {minutes:g} min"
    return [
        Figure(f"{what}, of a core", browser, MUST_PERCENT, "%", at_most=1.0),
        Figure(f"{what}, the service's part", service, MUST_PERCENT, "%"),
        Figure(f"{what}, growth", after.heap_mb - before.heap_mb, MUST_GROW_MB, "MB", at_most=1.0),
        Figure(f"{what}, heap then", after.heap_mb, before.heap_mb, "MB"),
        Figure(f"{what}, resident then", ended_mb, began_mb, "MB"),
        Figure(f"{what}, nodes then", after.nodes, before.nodes, "", at_most=1.1),
        Figure(f"{what}, listeners then", after.listeners, before.listeners, "", at_most=1.1),
    ]


def measure(minutes: float = SHORT_MINUTES) -> list[Figure]:
    """Return the time to the first curve, and what the page cost in so many minutes."""
    with tempfile.TemporaryDirectory() as name, scales([BENCH]) as (scale,):
        folder = Path(name)
        bench = QuickBench(folder, scale)
        # Nobody touches this bench for an hour: an alarm would be more page, and look like growth.
        config = write_config(folder, bench.instruments(), unattended="off")
        fill(folder / "data", [probe["name"] for probe in bench.probes])
        with serving(config) as served, bench.moving(), browsing() as browser:
            open_lot(served)
            page = browser.new_page(viewport={"width": 1440, "height": 900})
            page.add_init_script(SEEN_FIRST)
            opened = min(opened_ms(page, served.base) for _ in range(OPENINGS))
            figures = watched(page, served, minutes)
    what = f"bench page with {HOUR_S * PER_S:,} points a curve, to its first line"
    return [Figure(what, opened, MUST_OPEN_MS, "ms", at_most=1.0), *figures]


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--minutes", type=float, default=SHORT_MINUTES, help="how long it is open")
    asked = parser.parse_args()
    sys.exit(judge(lambda: measure(asked.minutes)))
