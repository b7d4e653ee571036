"""One bench behind its ports: the physics, the wires and the day's clock moved together.

with Workbench(Layout(folder), model, clock_file, start_us) as bench:
    bench.model.vessel_g = 212.0
    bench.run(3.0, speed=20.0)
"""

from pathlib import Path
from types import TracebackType
from typing import Self

from simulators.bench_model import BenchModel
from simulators.layout import DEVICES, SCALE, Layout
from simulators.pace import Pace
from simulators.ports.clock_file import ClockFile
from simulators.ports.flow import FlowControl
from simulators.ports.one_wire_folder import OneWireFolder
from simulators.ports.pseudo_terminal import PseudoTerminalPort
from simulators.wire.one_wire_text import w1_slave_text
from simulators.wire.serial_scales import ENCODERS, Dialect

SCALE_EVERY_S = 0.2
PROBES_EVERY_S = 1.0
UNREAD_BYTES = 24  # a line and a half: two lines read at once would get the same time


class Workbench:
    """A bench that instruments' readers can be pointed at. A context manager; `start_us` is UTC.

    `layout` says where the ports appear, `clock_file` where the time is kept.
    """

    def __init__(
        self,
        layout: Layout,
        model: BenchModel,
        clock_file: Path,
        start_us: int,
        dialect: Dialect = Dialect.STATUS,
    ) -> None:
        self.model = model
        self.now_us = start_us
        self.scale = PseudoTerminalPort(layout.scale_port)
        self.probes = OneWireFolder(layout.one_wire_root)
        self._clock = ClockFile(clock_file, start_us)
        self._flow = FlowControl(lambda: self.scale.backlog() > UNREAD_BYTES)
        self._encode = ENCODERS[dialect]
        self._scale_due_s = self._probes_due_s = model.time_s
        self._speak()

    def step(self, dt_s: float) -> None:
        """Let `dt_s` seconds pass: the physics, then the clock, then what the wires say.

        Waits first where the scale's reader is behind.
        """
        self._flow.wait()
        self.model.update(dt_s)
        self.now_us += round(dt_s * 1e6)
        self._clock.write(self.now_us)
        self._speak()

    def run(self, seconds: float, speed: float = 1.0) -> None:
        """Let `seconds` pass, `speed` times faster than real time; blocks."""
        pace = Pace(speed)
        until_s = self.model.time_s + seconds
        while self.model.time_s < until_s:
            self.step(pace.step_s)
            pace.keep()

    def close(self) -> None:
        """Take the ports away and let go of the clock; twice is fine."""
        self.scale.unplug()
        for device in DEVICES.values():
            self.probes.unplug(device)
        self._clock.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def _speak(self) -> None:
        self._follow_plugs()
        now_s = self.model.time_s + 1e-9  # steps add up to a hair less than they should
        while self._scale_due_s <= now_s:
            self._scale_due_s += SCALE_EVERY_S
            line = self._encode(self.model.pan.show())
            if SCALE not in self.model.silent:
                self.scale.write(line)
        if self._probes_due_s <= now_s:
            self._probes_due_s += PROBES_EVERY_S
            self._write_probes()

    def _follow_plugs(self) -> None:
        """Do at the ports what hands did to the plugs. A probe that is put back says so later."""
        if SCALE in self.model.unplugged:
            self.scale.unplug()
        else:
            self.scale.plug()
        for name in self.model.unplugged & DEVICES.keys():
            self.probes.unplug(DEVICES[name])

    def _write_probes(self) -> None:
        for name, probe in self.model.probes.items():
            if name not in self.model.unplugged | self.model.silent:
                self.probes.write(DEVICES[name], w1_slave_text(probe.reading()))
