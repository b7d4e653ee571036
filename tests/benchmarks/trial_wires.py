"""From the simulated instruments to samples, over the bytes that they would send."""

from collections.abc import Callable

from collector.instruments.hid_weighing import HidWeighingDecoder
from collector.instruments.scale_lines import scale_line_decoder
from collector.instruments.w1_thermometer import decode_w1_slave
from collector.readings import Channel, Role, Sample
from simulators.bench_model import BenchModel
from simulators.instruments import Instruments
from simulators.layout import BENCH, SCALE
from simulators.physics.pan import Display
from simulators.wire.hid_report import data_report
from simulators.wire.one_wire_text import w1_slave_text
from simulators.wire.serial_scales import ENCODERS

Hear = Callable[[str, Sample], None]

SCALE_PATIENCE_US = 10_000_000
PROBE_PATIENCE_US = 6_000_000
"""What this workshop declares as `silent_after` of its instruments."""

HAIR_S = 1e-9  # steps add up to a hair less than they should


def channels_of(instruments: Instruments) -> tuple[Channel, ...]:
    """Return the channels as the workshop's configuration would name them."""
    probes = (
        Channel(name, BENCH, Role(name.removeprefix(f"{BENCH}-")), PROBE_PATIENCE_US)
        for name in instruments.probes.names
    )
    return (Channel(SCALE, BENCH, Role.SCALE, SCALE_PATIENCE_US), *probes)


class Wires:
    """Lets the instruments of one bench speak when they are due; `hear` takes each sample."""

    def __init__(self, model: BenchModel, instruments: Instruments, hear: Hear) -> None:
        self._model = model
        self._scale = instruments.scale
        self._probes = instruments.probes
        self._hear = hear
        self._due_s = {SCALE: 0.0, "probes": 0.0}
        self._lines = scale_line_decoder("auto")
        self._lines.feed(b"\r\n")  # a port is opened in mid-line: the first rest is dropped
        self._reports = HidWeighingDecoder()

    @property
    def next_s(self) -> float:
        """When the next instrument speaks."""
        return min(self._due_s.values())

    def speak(self) -> None:
        """Give what is due now."""
        now_s = self._model.time_s + HAIR_S
        if self._due_s[SCALE] <= now_s:
            self._due_s[SCALE] += self._scale.every_s
            self._weigh(self._model.pan.show())
        if self._due_s["probes"] <= now_s:
            self._due_s["probes"] += self._probes.every_s
            self._measure()

    def _mute(self, name: str) -> bool:
        return name in self._model.unplugged or name in self._model.silent

    def _weigh(self, shown: Display) -> None:
        if self._mute(SCALE):
            return
        dialect = self._scale.dialect
        if dialect is None:
            samples = self._reports.feed(data_report(shown))
        else:
            samples = self._lines.feed(ENCODERS[dialect](shown))
        for sample in samples:
            self._hear(SCALE, sample)

    def _measure(self) -> None:
        for name in self._probes.names:
            sixteenths = self._model.probes[name].reading()
            if self._mute(name):
                continue
            sample = decode_w1_slave(w1_slave_text(sixteenths).encode())
            if isinstance(sample, Sample):
                self._hear(name, sample)
