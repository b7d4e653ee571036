"""USB scales, with a stand-in for the HID library at the device boundary."""

import queue
from collections.abc import Mapping, Sequence

import pytest
from reader_listening import HurriedClock, Listener

from collector.errors import LinkError
from collector.instruments.hid_weighing import HidWeighingDecoder
from collector.readers.hid_library import installed_hid_library
from collector.readers.hid_port import HidPort, HidSelector
from collector.readers.link import LinkFailed, LinkOpened, Sampled
from collector.readers.supervised import SupervisedReader
from collector.readings import Quantity, Sample

STABLE_20_G = bytes.fromhex("03 04 02 00 14 00")


class SoftScale:
    """One device on the soft bus."""

    def __init__(self, bus: "SoftBus") -> None:
        self._bus = bus
        self._open = False

    def open_path(self, path: bytes) -> None:
        if path.decode() not in self._bus.nodes or self._bus.locked:
            raise OSError("open failed")  # the words of the real library, which gives no errno
        self._open = True
        self._bus.open_devices += 1

    def read(self, max_length: int, timeout_ms: int) -> Sequence[int]:
        if not self._open:
            raise ValueError("not open")
        if self._bus.broken:
            raise OSError("read error")
        try:
            return list(self._bus.reports.get(timeout=timeout_ms / 20_000)[:max_length])
        except queue.Empty:
            return []  # what the real library answers for ever after an unplug

    def close(self) -> None:
        self._bus.open_devices -= self._open
        self._open = False


class SoftBus:
    """A USB bus with scales; nodes are known by path."""

    def __init__(self, *nodes: str) -> None:
        self.nodes = {node: {"usage_page": 0x8D, "serial_number": f"S{node[-1]}"} for node in nodes}
        self.reports: queue.SimpleQueue[bytes] = queue.SimpleQueue()
        self.locked = False
        self.broken = False
        self.open_devices = 0

    def device(self) -> SoftScale:
        return SoftScale(self)

    def enumerate(self, vendor_id: int, product_id: int) -> Sequence[Mapping[str, object]]:
        everything = vendor_id in (0, 0x1234) and product_id in (0, 0x5678)
        entries = [{"path": node.encode(), **facts} for node, facts in self.nodes.items()]
        return entries if everything else []

    def port(self, selector: HidSelector | None = None) -> HidPort:
        return HidPort(
            selector or HidSelector(),
            library=self,
            present=lambda node: node in self.nodes,
            can_open=lambda _node: not self.locked,
        )


def test_the_only_scale_is_found_and_read() -> None:
    bus, listener = SoftBus("/dev/hidraw3"), Listener()
    bus.nodes["/dev/hidraw1"] = {"usage_page": 1, "serial_number": "a keyboard"}
    reader = SupervisedReader("scale", bus.port(), HidWeighingDecoder(), HurriedClock())
    reader.start(listener)
    bus.reports.put(STABLE_20_G)
    assert listener.wait_for(Sampled).sample == Sample(Quantity.MASS, 20_000)
    reader.stop()
    assert bus.open_devices == 0


def test_a_scale_that_switches_itself_off_is_missed_and_found_again() -> None:
    bus, listener = SoftBus("/dev/hidraw3"), Listener()
    reader = SupervisedReader("scale", bus.port(), HidWeighingDecoder(), HurriedClock())
    reader.start(listener)
    listener.wait_for(LinkOpened)
    facts = bus.nodes.pop("/dev/hidraw3")
    lost = listener.wait_for(LinkFailed)
    assert lost.reason == "/dev/hidraw3 was unplugged or switched itself off"
    assert "press its button" in lost.remedy
    assert listener.wait_for(LinkFailed, count=2).reason == "No USB scale is connected"
    bus.nodes["/dev/hidraw4"] = facts
    listener.wait_for(LinkOpened, count=2)
    bus.reports.put(STABLE_20_G)
    listener.wait_for(Sampled)
    reader.stop()
    assert bus.open_devices == 0


@pytest.mark.parametrize(
    "selector",
    [
        HidSelector(path="/dev/hidraw4"),
        HidSelector(serial="S4"),
        HidSelector(vendor=0x1234, product=0x5678, serial="S4"),
    ],
)
def test_one_of_several_scales_can_be_named(selector: HidSelector) -> None:
    bus = SoftBus("/dev/hidraw3", "/dev/hidraw4")
    port = bus.port(selector)
    port.open()
    bus.reports.put(STABLE_20_G)
    del bus.nodes["/dev/hidraw3"]  # not ours: nothing is lost
    assert port.read() == STABLE_20_G
    assert port.read() == b""
    port.close()


@pytest.mark.parametrize(
    ("selector", "words"),
    [
        (HidSelector(), "Several USB scales are connected"),
        (HidSelector(path="/dev/hidraw9"), "There is no USB scale at /dev/hidraw9"),
        (HidSelector(serial="S9"), "No USB scale with serial number S9 is connected"),
        (HidSelector(vendor=0x9999), "No USB scale of vendor 0x9999 is connected"),
    ],
)
def test_a_scale_that_is_not_there_or_not_the_only_one_is_no_guess(
    selector: HidSelector, words: str
) -> None:
    with pytest.raises(LinkError, match=words):
        SoftBus("/dev/hidraw3", "/dev/hidraw4").port(selector).open()


def test_several_scales_are_listed_to_choose_from() -> None:
    with pytest.raises(LinkError, match=r"/dev/hidraw3, /dev/hidraw4") as caught:
        SoftBus("/dev/hidraw4", "/dev/hidraw3").port().open()
    assert "path in the config" in caught.value.remedy


def test_missing_rights_are_told_with_the_rule_that_gives_them() -> None:
    bus = SoftBus("/dev/hidraw3")
    bus.locked = True
    with pytest.raises(LinkError, match="may not open /dev/hidraw3") as caught:
        bus.port().open()
    assert "udev rule" in caught.value.remedy


def test_a_read_error_is_a_failed_link() -> None:
    bus = SoftBus("/dev/hidraw3")
    port = bus.port()
    port.open()
    bus.broken = True
    with pytest.raises(LinkError, match="stopped answering"):
        port.read()


def test_the_installed_library_has_what_the_port_uses() -> None:
    library = installed_hid_library()
    assert isinstance(library.enumerate(0, 0), list)
    device = library.device()
    with pytest.raises(OSError, match="open failed"):
        device.open_path(b"/dev/no-such-node")
    with pytest.raises(ValueError, match="not open"):
        device.read(64, timeout_ms=1)
    device.close()
