"""The instruments of a bench as somebody bought them: how coarse, how quick, how restless."""

from dataclasses import dataclass

from simulators.bench_model import PITCHER_PROBE, POT_PROBE, ROOM_PROBE, BenchModel
from simulators.wire.serial_scales import Dialect


@dataclass(frozen=True)
class ScaleKind:
    """One scale. `dialect` is None for a USB scale that sends HID reports."""

    dialect: Dialect | None = Dialect.STATUS
    resolution_g: float = 0.1
    every_s: float = 0.2
    tremble_g: float = 0.1
    drift_g_per_h: float = 0.0
    stroke_g: float = 14.0


@dataclass(frozen=True)
class ProbeKind:
    """The thermometers: how slow, how noisy, how often they are read, and which there are."""

    lag_s: float = 6.0
    noise_k: float = 0.02
    every_s: float = 1.0
    names: tuple[str, ...] = (PITCHER_PROBE, POT_PROBE, ROOM_PROBE)


@dataclass(frozen=True)
class Instruments:
    """All of one bench."""

    scale: ScaleKind = ScaleKind()
    probes: ProbeKind = ProbeKind()

    def fit(self, bench: BenchModel) -> None:
        """Put these instruments on a bench before its day begins."""
        bench.pan.resolution_g = self.scale.resolution_g
        bench.pan.show_every(self.scale.every_s)
        bench.pan.tremble_g = self.scale.tremble_g
        bench.pan.drift_g_per_h = self.scale.drift_g_per_h
        bench.pan.stroke_g = self.scale.stroke_g
        for probe in bench.probes.values():
            probe.lag_s = self.probes.lag_s
            probe.noise_k = self.probes.noise_k
