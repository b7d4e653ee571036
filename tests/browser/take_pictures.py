"""Takes the README's pictures, and one of every page at every size, from a running demo.

python tests/browser/take_pictures.py --base-url http://127.0.0.1:8420 --out FOLDER
"""

import argparse
from pathlib import Path

from launch import LAUNCH
from playwright.sync_api import Browser, sync_playwright

SIZES = {"phone": (390, 844), "tablet": (820, 1180), "desktop": (1440, 900)}
SCHEMES = ("light", "dark")


def main() -> None:
    """Take the pictures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--base-url", required=True)
    parser.add_argument("--out", type=Path, required=True)
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(**LAUNCH)
        for scheme in SCHEMES:
            for size in SIZES:
                take(browser, options.base_url, options.out, scheme, size)
        browser.close()


def take(browser: Browser, base_url: str, out: Path, scheme: str, size: str) -> None:
    """Take every page at one size and one color scheme."""
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if scheme == "dark" else "light",
    )
    page = context.new_page()
    lots = page.request.get(f"{base_url}/api/lots").json()
    places = {"bench": "/", "lots": "/lots", "notices": "/notices"}
    if lots:
        places["lot"] = f"/lots/{lots[-1]['id']}"
    for name, path in places.items():
        page.goto(base_url + path)
        page.wait_for_timeout(2000)
        page.screenshot(path=out / f"{name}-{size}-{scheme}.png", full_page=name != "bench")
    context.close()


if __name__ == "__main__":
    main()
