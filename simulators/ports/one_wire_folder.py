"""A folder that looks like the kernel's list of 1-Wire devices."""

import shutil
from pathlib import Path


class OneWireFolder:
    """Devices under `root`, each a folder `28-xxxxxxxxxxxx` with its `w1_slave` file."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self._texts: dict[str, str] = {}
        root.mkdir(parents=True, exist_ok=True)

    def write(self, device: str, text: str) -> None:
        """Give a device's file this text, at once for every reader; plugs the device in."""
        if self._texts.get(device) == text:
            return
        folder = self.root / device
        folder.mkdir(exist_ok=True)
        fresh = folder / ".w1_slave.fresh"
        fresh.write_text(text, encoding="ascii")
        fresh.replace(folder / "w1_slave")
        self._texts[device] = text

    def unplug(self, device: str) -> None:
        """Take a device away; nothing where it is gone already."""
        if self._texts.pop(device, None) is not None:
            shutil.rmtree(self.root / device)
