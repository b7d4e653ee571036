"""The readers for the instruments of a workshop."""

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

from collector import units
from collector.clock import Clock
from collector.config import HidScale, InstrumentConfig, OneWire, SerialScale
from collector.instruments.hid_weighing import HidWeighingDecoder
from collector.instruments.scale_lines import scale_line_decoder
from collector.readers.hid_port import HidPort, HidSelector
from collector.readers.link import Reader
from collector.readers.one_wire_bus import OneWireBus
from collector.readers.one_wire_probe import ProbeAddress
from collector.readers.serial_port import SerialPort
from collector.readers.supervised import SupervisedReader
from collector.readings import Quantity


def readers_for(instruments: Sequence[InstrumentConfig], clock: Clock) -> list[Reader]:
    """Return the readers of all instruments that have a wire, scales before thermometers.

    Thermometers of one 1-Wire bus share a reader; an instrument of kind manual has none.
    Raises ValueError with a sentence where a scale's format is no regular expression.
    """
    # The first unit ever costs a tenth of a second: here, not between a reading and its time.
    units.to_fixed(Decimal(0), "g", Quantity.MASS)
    readers = [_scale_reader(instrument, clock) for instrument in instruments]
    buses = [
        OneWireBus(root, addresses, clock) for root, addresses in _by_root(instruments).items()
    ]
    return [*(reader for reader in readers if reader is not None), *buses]


def _scale_reader(instrument: InstrumentConfig, clock: Clock) -> Reader | None:
    link = instrument.link
    if isinstance(link, SerialScale):
        port = SerialPort(link.port, link.baud)
        return SupervisedReader(instrument.name, port, scale_line_decoder(link.format), clock)
    if isinstance(link, HidScale):
        selector = HidSelector(link.path, link.vendor, link.product, link.serial)
        return SupervisedReader(instrument.name, HidPort(selector), HidWeighingDecoder(), clock)
    return None


def _by_root(instruments: Sequence[InstrumentConfig]) -> dict[Path, list[ProbeAddress]]:
    buses: dict[Path, list[ProbeAddress]] = {}
    for instrument in instruments:
        link = instrument.link
        if isinstance(link, OneWire):
            address = ProbeAddress(instrument.name, link.device, link.every_us)
            buses.setdefault(link.root, []).append(address)
    return buses
