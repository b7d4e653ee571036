"""How the tests start the system's Chromium: it works in a container and calls nobody."""

from typing import Any

LAUNCH: dict[str, Any] = {
    "executable_path": "/usr/bin/chromium",
    "args": [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
    ],
}
