"""A USB scale of the HID usage page "Scales" (0x8D), through the kernel's hidraw nodes."""

import os
from collections.abc import Callable, Mapping

import msgspec

from collector.errors import LinkError
from collector.instruments.hid_weighing import MAX_REPORT_BYTES, USAGE_PAGE
from collector.readers.hid_library import HidDevice, HidLibrary, installed_hid_library

_TIMEOUT_MS = 200

_WAKE = "Plug it in; if it has switched itself off, press its button"
_RIGHTS = (
    "Give its group the right by a udev rule for hidraw, for example"
    ' KERNEL=="hidraw*", GROUP="plugdev", MODE="0660", then plug it in again'
)


class HidSelector(msgspec.Struct, frozen=True):
    """Which USB scale is meant: by node, or by what it says of itself; None is any."""

    path: str | None = None
    vendor: int | None = None
    product: int | None = None
    serial: str | None = None


class HidPort:
    """Reports of one USB scale. Opened, read and closed from one thread only.

    `library` and `can_open` (whether this program has the rights to a node) default to the real
    ones; `present` tells whether a node is still there, for a dead device reads as a silent one.
    """

    def __init__(
        self,
        selector: HidSelector,
        library: HidLibrary | None = None,
        present: Callable[[str], bool] = os.path.exists,
        can_open: Callable[[str], bool] | None = None,
    ) -> None:
        self._selector = selector
        self._library = library
        self._present = present
        self._can_open = can_open or _have_rights
        self._device: HidDevice | None = None
        self._node = selector.path or "the USB scale"

    def open(self) -> None:
        """Find the scale and open it. Raises LinkError."""
        library = self._library or installed_hid_library()
        self._node = self._selector.path or self._found(library)
        if not self._present(self._node):
            raise LinkError(f"There is no USB scale at {self._node}", _WAKE)
        device = library.device()
        try:
            device.open_path(os.fsencode(self._node))
        except OSError as error:
            raise self._refused() from error
        self._device = device

    def read(self) -> bytes:
        """Return one report, waiting at most 0.2 s; empty if none. Raises LinkError."""
        if self._device is None:
            raise LinkError(f"{self._node} is not open", "Restart the service")
        try:
            report = bytes(self._device.read(MAX_REPORT_BYTES, timeout_ms=_TIMEOUT_MS))
        except (OSError, ValueError) as error:
            raise self._lost() from error
        if not report and not self._present(self._node):
            raise self._lost()
        return report

    def close(self) -> None:
        """Close it, whatever state it is in."""
        device, self._device = self._device, None
        if device is not None:
            device.close()

    def _found(self, library: HidLibrary) -> str:
        wanted = self._selector
        present = library.enumerate(wanted.vendor or 0, wanted.product or 0)
        nodes = sorted({_node(entry) for entry in present if _fits(entry, wanted)})
        if not nodes:
            raise LinkError(f"No USB scale{_named(wanted)} is connected", _WAKE)
        if len(nodes) > 1:
            raise LinkError(
                f"Several USB scales{_named(wanted)} are connected",
                f"Give one of them as path in the config: {', '.join(nodes)}",
            )
        return nodes[0]

    def _refused(self) -> LinkError:
        if not self._can_open(self._node):
            return LinkError(f"This program may not open {self._node}", _RIGHTS)
        return LinkError(f"{self._node} cannot be opened", "Unplug the scale and plug it in again")

    def _lost(self) -> LinkError:
        if self._present(self._node):
            return LinkError(f"{self._node} stopped answering", "Check its cable and power")
        return LinkError(f"{self._node} was unplugged or switched itself off", _WAKE)


def _have_rights(node: str) -> bool:
    return os.access(node, os.R_OK | os.W_OK)


def _node(entry: Mapping[str, object]) -> str:
    path = entry.get("path")
    return os.fsdecode(path) if isinstance(path, bytes | str) else ""


def _fits(entry: Mapping[str, object], wanted: HidSelector) -> bool:
    """Tell whether an entry is meant. One named by vendor and product is trusted to be a scale."""
    named = wanted.vendor is not None and wanted.product is not None
    if not named and entry.get("usage_page") != USAGE_PAGE:
        return False
    return wanted.serial is None or entry.get("serial_number") == wanted.serial


def _named(wanted: HidSelector) -> str:
    parts = (
        f" of vendor {wanted.vendor:#06x}" if wanted.vendor is not None else "",
        f" and product {wanted.product:#06x}" if wanted.product is not None else "",
        f" with serial number {wanted.serial}" if wanted.serial is not None else "",
    )
    return "".join(parts)
