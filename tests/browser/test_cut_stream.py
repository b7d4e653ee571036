"""The bench page at ten readings a second, while the network is silent and while nobody looks."""

import re
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from quick_bench import BENCH, QuickBench, fill, open_lot
from served_workshop import Served, scales, serving, write_config
from silent_proxy import SilentProxy

CUT_S = 30.0
STALE_S = 3.0
LOOK_S = 0.05
PATIENCE_S = 60.0
CURVES = (f"{BENCH}-pitcher", f"{BENCH}-pot")

# What the page holds, found through what the renderer keeps at the root of the page: `__k` are a
# node's children, and the chart's component is given the model of its bench.
HELD = """() => {
    const find = (node) => {
        if (node === null || typeof node !== "object") return undefined;
        if (node.props?.screen?.curves) return node.props.screen.curves.curves.value;
        for (const child of node.__k ?? []) {
            const found = find(child);
            if (found) return found;
        }
        return undefined;
    };
    const curves = find(document.getElementById("app").__k) ?? [];
    const listed = (numbers) => [...numbers].map((each) => Number.isNaN(each) ? null : each);
    return curves.map(({ channel, isSound, samples }) => ({
        channel, sound: isSound, t: listed(samples.t), value: listed(samples.value),
    }));
}"""


@contextmanager
def quick_bench(folder: Path) -> Iterator[Served]:
    """Serve a bench with an open lot and an hour of readings behind it, ten more each second."""
    with scales([BENCH]) as (scale,):
        bench = QuickBench(folder, scale)
        config = write_config(folder, bench.instruments())
        fill(folder / "data", [probe["name"] for probe in bench.probes])
        with serving(config) as served, bench.moving():
            open_lot(served)
            yield served


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with quick_bench(tmp_path_factory.mktemp("quick")) as served:
        yield served


@pytest.fixture
def network(served: Served) -> Iterator[SilentProxy]:
    with SilentProxy(int(served.base.rpartition(":")[2])) as proxy:
        yield proxy


@pytest.fixture
def bench(page: Page, network: SilentProxy) -> Page:
    page.goto(f"http://127.0.0.1:{network.port}/")
    until_sound(page)
    return page


def held(page: Page) -> dict[str, Any]:
    """Return the curves that a page holds."""
    return {curve["channel"]: curve for curve in page.evaluate(HELD)}


def until_sound(page: Page) -> None:
    """Wait until nothing is missing in the curves that a page holds."""
    began_s = time.monotonic()
    while True:
        curves = held(page).values()
        if curves and all(curve["sound"] for curve in curves):
            return
        assert time.monotonic() - began_s < PATIENCE_S, "the curves were not mended"
        page.wait_for_timeout(200)


def assert_as_stored(page: Page, served: Served) -> None:
    """Hold each point that the page has, and each that the store has of its span, to each other."""
    curves = held(page)
    assert set(curves) == set(CURVES)
    for channel, curve in curves.items():
        assert len(curve["t"]) > 30_000
        asked = {"channel": channel, "minutes": 90, "points": 100_000, "since": curve["t"][0]}
        stored = served.http.get(f"/api/benches/{BENCH}/curve", params=asked).json()
        count = len(curve["t"])
        assert stored["t"][:count] == curve["t"]
        assert stored["value"][:count] == curve["value"]
        assert stored["t"][count - 1] == curve["t"][-1]


@pytest.mark.timeout(300)
def test_after_a_cut_of_half_a_minute_the_curve_is_the_stores_point_for_point(
    bench: Page, network: SilentProxy, served: Served
) -> None:
    assert_as_stored(bench, served)
    network.fall_silent()
    expect(bench.get_by_text(re.compile("No connection"))).to_be_visible(timeout=15_000)
    bench.wait_for_timeout(CUT_S * 1000)
    last_s = max(curve["t"][-1] for curve in held(bench).values())
    network.pass_on()
    expect(bench.get_by_text(re.compile("No connection"))).to_be_hidden(timeout=30_000)
    bench.wait_for_timeout(2_000)
    until_sound(bench)
    assert_as_stored(bench, served)
    for curve in held(bench).values():
        missed = [t for t in curve["t"] if last_s < t < last_s + CUT_S]
        assert len(missed) > CUT_S * 5, "the cut shows"
        assert None not in curve["value"][-1000:]


@pytest.mark.timeout(300)
def test_values_are_shown_as_stale_within_three_seconds_of_a_silent_network(
    bench: Page, network: SilentProxy
) -> None:
    values = bench.locator(".figure-value")
    expect(values.and_(bench.locator(".doubtful"))).to_have_count(0)
    # Seen by the page itself: how long the page's own digits were not yet told to be stale.
    bench.evaluate(
        """() => {
            window.staleAfter = [];
            const begun = performance.now();
            for (const value of document.querySelectorAll(".figure-value")) {
                new MutationObserver((_, watch) => {
                    if (!value.classList.contains("doubtful")) return;
                    window.staleAfter.push((performance.now() - begun) / 1000);
                    watch.disconnect();
                }).observe(value, { attributes: true });
            }
        }"""
    )
    network.fall_silent()
    expect(values.and_(bench.locator(".doubtful"))).to_have_count(2, timeout=10_000)
    after_s = bench.evaluate("window.staleAfter")
    network.pass_on()
    assert len(after_s) == 2
    assert max(after_s) <= STALE_S


@pytest.mark.timeout(300)
def test_a_page_that_was_away_comes_back_whole_and_with_one_connection(
    bench: Page, served: Served
) -> None:
    asked: list[str] = []
    bench.on("request", lambda request: asked.append(request.url))
    bench.evaluate(
        """() => {
            window.banners = 0;
            new MutationObserver(() => {
                if (document.querySelector(".banner")) window.banners += 1;
            }).observe(document.body, { childList: true, subtree: true });
        }"""
    )
    set_hidden(bench, hidden=True)
    bench.wait_for_timeout(5_000)
    assert asked == []
    set_hidden(bench, hidden=False)
    bench.wait_for_timeout(1_000)
    until_sound(bench)
    assert_as_stored(bench, served)
    streams = [url for url in asked if "/api/live" in url]
    assert len(streams) == 1
    assert re.search(r"/api/live\?after=\d+-\d+$", streams[0])
    assert bench.evaluate("window.banners") == 0


# A driven browser keeps no page for the back button, so that the test plays what one is told.
LEFT = "window.dispatchEvent(new PageTransitionEvent('pagehide', { persisted: true }))"
BACK = "window.dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))"


@pytest.mark.timeout(300)
def test_a_page_that_is_kept_for_the_back_button_has_no_connection_until_it_is_back(
    bench: Page, served: Served
) -> None:
    asked: list[str] = []
    bench.on("request", lambda request: asked.append(request.url))
    bench.evaluate(LEFT)
    bench.wait_for_timeout(5_000)
    assert asked == []
    bench.evaluate(BACK)
    bench.wait_for_timeout(1_000)
    until_sound(bench)
    assert_as_stored(bench, served)
    assert len([url for url in asked if "/api/live" in url]) == 1


def set_hidden(page: Page, *, hidden: bool) -> None:
    """Let a page believe that it is hidden: a browser without windows never hides one."""
    page.evaluate(
        """(hidden) => {
            Object.defineProperty(document, "hidden", { configurable: true, get: () => hidden });
            document.dispatchEvent(new Event("visibilitychange"));
        }""",
        hidden,
    )
