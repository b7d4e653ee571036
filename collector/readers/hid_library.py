"""The HID library behind a protocol, so that a test can stand in for it."""

from collections.abc import Mapping, Sequence
from typing import Protocol, cast

from collector.errors import LinkError


class HidDevice(Protocol):
    """One device of the library. Reading and closing must be done from one thread."""

    def open_path(self, path: bytes) -> None:
        """Open the node at `path`. Raises OSError, without an errno."""
        ...

    def read(self, max_length: int, timeout_ms: int) -> Sequence[int]:
        """Return one report, empty after the timeout. Raises OSError or ValueError."""
        ...

    def close(self) -> None:
        """Close it; safe when it is not open."""
        ...


class HidLibrary(Protocol):
    """What is used of hidapi's `hidraw` module."""

    def device(self) -> HidDevice:
        """Return a device that is not open yet."""
        ...

    def enumerate(self, vendor_id: int, product_id: int) -> Sequence[Mapping[str, object]]:
        """Return the HID devices present; 0 stands for any vendor or product.

        Each has `path` (bytes), `serial_number`, `product_string`, `usage_page` and more.
        """
        ...


def installed_hid_library() -> HidLibrary:
    """Return the `hidraw` module of hidapi. Raises LinkError where this machine has none.

    Never its `hid` module: that goes through libusb, needs other rights and other paths, and
    takes the device away from the kernel.
    """
    try:
        import hidraw  # noqa: PLC0415 - exists on Linux only; a workshop without USB scales needs none
    except ImportError as error:
        raise LinkError(
            "USB scales cannot be read on this machine: hidapi's hidraw module is missing",
            'Install hidapi 0.14 or later on Linux, or use kind = "manual"',
        ) from error
    return cast("HidLibrary", hidraw)
