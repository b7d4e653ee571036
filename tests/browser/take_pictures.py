"""Takes a picture of every page at every size, by day and by night, from a running demo.

python tests/browser/take_pictures.py --base-url http://127.0.0.1:8420 --out FOLDER [--readme]

With --readme, the pictures that the README shows are taken as well. Take them while a lot is open
and another one is closed, in the middle of the simulated day.
"""

import argparse
from pathlib import Path
from urllib.parse import quote

from launch import LAUNCH
from playwright.sync_api import APIRequestContext, Browser, Page, sync_playwright

from dashboards import dist_dir

SIZES = {"phone": (390, 844), "tablet": (820, 1180), "desktop": (1440, 900)}
SCHEMES = ("light", "dark")
README = {"bench": ("desktop", "light"), "lot": ("desktop", "light")}
"""Which pictures the README shows, by page."""

SETTLED_MS = 2000


def main() -> None:
    """Take the pictures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--base-url", required=True)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--readme", action="store_true")
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(**LAUNCH)
        places = places_of(browser, options.base_url)
        if options.readme:  # first of all, while the day is as it was when it was asked for
            take_for_readme(browser, places)
        for scheme in SCHEMES:
            for size in SIZES:
                take(browser, places, options.out, size, scheme)
        browser.close()


def places_of(browser: Browser, base_url: str) -> dict[str, str]:
    """Return the address of every page, by a name for its picture."""
    context = browser.new_context()
    paths = {
        **{name: f"/{name}" for name in ("benches", "lots", "recipes", "instruments", "alarms")},
        **{name: f"/{name}" for name in ("pour-days", "notices", "health", "screen")},
        "bench": "/",
        "recipe-new": "/new-recipe?example",
        "pour-day-new": "/pour-days/new",
        "nowhere": "/nowhere",
        **dict(_named(context.request, base_url)),
    }
    context.close()
    return {name: base_url + path for name, path in paths.items()}


def _named(request: APIRequestContext, base_url: str) -> list[tuple[str, str]]:
    """Return the pages of the first thing of each kind; of lots, the first that was closed."""
    kinds = {"lot": ("lots", "id"), "recipe": ("recipes", "name"), "pour-day": ("pour-days", "id")}
    found = []
    for name, (path, key) in {**kinds, "instrument": ("instruments", "name")}.items():
        things = request.get(f"{base_url}/api/{path}").json()
        if things:
            found.append((name, f"/{path}/{quote(things[-1][key], safe='')}"))
    return found


def take(browser: Browser, places: dict[str, str], out: Path, size: str, scheme: str) -> None:
    """Take every page at one size and in one color scheme."""
    page = opened(browser, size, scheme)
    for name, address in places.items():
        look(page, address)
        page.screenshot(path=out / f"{name}-{size}-{scheme}.png", full_page=True)
    page.context.close()


def take_for_readme(browser: Browser, places: dict[str, str]) -> None:
    """Take what the README shows: as much of a page as the screen does."""
    for name, (size, scheme) in README.items():
        page = opened(browser, size, scheme)
        look(page, places[name])
        page.screenshot(path=dist_dir().parent / "pictures" / f"{name}.png")
        page.context.close()


def opened(browser: Browser, size: str, scheme: str) -> Page:
    """Return an empty page of a size in a color scheme."""
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if scheme == "dark" else "light",
    )
    return context.new_page()


def look(page: Page, address: str) -> None:
    """Go to a page and wait until its charts are drawn."""
    page.goto(address)
    page.wait_for_timeout(SETTLED_MS)


if __name__ == "__main__":
    main()
