"""A bench's message into samples of the instruments here, and a count of what is none."""

import logging
from collections import Counter
from collections.abc import Iterable, Mapping

from collector.errors import PackError
from collector.instrument_config import InstrumentConfig, Mqtt
from collector.readers.link import Sampled
from collector.readings import ROLE_QUANTITY
from collector.senml import Record, decode

_LOG = logging.getLogger(__name__)

MOST_REASONS = 20
"""Reasons that are told apart: a stranger must not fill the memory with them."""

OTHERS = "other reasons"

NOT_KEPT = "confirmed, but not kept here"
"""What becomes of a reading that this config has no place for. Were its message not confirmed, the
bench would send the same few for ever, and no other reading of it would get through."""


class Unpacker:
    """Unpacks the messages of one bench; what cannot be used is counted, and logged once."""

    def __init__(self, bench: str, instruments: Iterable[InstrumentConfig]) -> None:
        self._bench = bench
        self._devices: Mapping[str, InstrumentConfig] = {
            one.link.device: one
            for one in instruments
            if one.bench == bench and isinstance(one.link, Mqtt)
        }
        self._rejected: Counter[tuple[str, str]] = Counter()  # instrument or "", and why
        self._not_kept: set[tuple[str, str]] = set()  # of these, what was understood

    @property
    def instruments(self) -> dict[str, str]:
        """The instruments' names here, by their names there."""
        return {device: one.name for device, one in self._devices.items()}

    def rejected(self, instrument: str) -> dict[str, int]:
        """Return how much was no sample of an instrument, or of nobody's here, by reason."""
        return {
            why: count
            for (whose, why), count in self._rejected.items()
            if whose in {"", instrument}
        }

    def not_kept(self, instrument: str) -> dict[str, int]:
        """Return what of `rejected` was understood and confirmed, and has no place here."""
        return {
            why: self._rejected[whose, why]
            for whose, why in sorted(self._not_kept)
            if whose in {"", instrument}
        }

    def samples(self, payload: bytes, now_us: int) -> list[Sampled]:
        """Return the samples of a message; nothing of it raises."""
        try:
            records = decode(payload, now_us)
        except PackError as error:
            self._reject("", error.message)
            return []
        known = [(self._devices[r.name], r) for r in records if r.name in self._devices]
        strangers = Counter(record.name for record in records if record.name not in self._devices)
        for name, count in strangers.items():
            why = f'no instrument here has the device "{name[:64]}": {NOT_KEPT}'
            self._reject("", why, count, understood=True)
        return parted(sampled for one, record in known for sampled in self._sampled(one, record))

    def _sampled(self, instrument: InstrumentConfig, record: Record) -> Iterable[Sampled]:
        try:
            sample = record.sample(ROLE_QUANTITY[instrument.role])
        except PackError as error:
            self._reject(instrument.name, f"{error.message}: {NOT_KEPT}", understood=True)
            return
        yield Sampled(instrument.name, record.taken_us, sample)

    def _reject(
        self, instrument: str, why: str, count: int = 1, *, understood: bool = False
    ) -> None:
        key = (instrument, why)
        if key not in self._rejected and len(self._rejected) >= MOST_REASONS:
            key, understood = ("", OTHERS), False
        if understood:
            self._not_kept.add(key)
        if key not in self._rejected:
            _LOG.error("bench %s sends what cannot be used: %s", self._bench, key[1])
        self._rejected[key] += count


def parted(samples: Iterable[Sampled]) -> list[Sampled]:
    """Return a message's samples in order of time, no two with the same.

    Who shares a microsecond with another follows it by name, so that the same message gives the
    same times again; the same sample twice is one.
    """
    once = {(one.taken_us, one.instrument): one for one in samples}
    apart: list[Sampled] = []
    for taken_us, name in sorted(once):
        after_us = apart[-1].taken_us if apart else taken_us - 1
        apart.append(Sampled(name, max(taken_us, after_us + 1), once[taken_us, name].sample))
    return apart
