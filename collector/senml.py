"""Readings as SenML packs in JSON (RFC 8428), and the packs of any device as samples.

Numbers are exact decimals in both directions. A reader may as well keep the times of `encode` in
IEEE doubles, as RFC 8428 (section 5) lets it: until 2106 a double of seconds since 1970 is at
most 2.4e-7 s off, so that rounding gives back the very microsecond.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from itertools import groupby
from operator import attrgetter
from typing import Any

import msgspec

from collector import units
from collector.errors import PackError
from collector.readings import Quality, Quantity, Reading, Sample

MAX_BYTES = 1 << 20
"""Longest pack: over 10,000 readings. A stranger's message must not fill the memory."""

MAX_RECORDS = 10_000

NAME = re.compile(r"[A-Za-z0-9][-A-Za-z0-9:./_]*")
"""The names that SenML allows (RFC 8428, section 4.5.1)."""

_VERSION = 10  # of RFC 8428, sections 4.1 and 4.4
_RELATIVE_BELOW_S = 2**28  # times below are relative to now (section 4.5.3)
_LAST_S = 2**32  # in 2106; beyond, a double of seconds no longer tells microseconds apart
_US_PER_S = 1_000_000
_MAX_DECADES = 100  # keeps the sum of a base and a value cheap
_ZERO = Decimal(0)

_UNIT = {
    Quantity.MASS: "g",
    Quantity.TEMPERATURE: "Cel",
    Quantity.HUMIDITY: "%RH",
    Quantity.PRESSURE: "Pa",
}
"""The registered unit of each quantity (RFC 8428, section 12.1)."""

_DECIMALS = {
    Quantity.MASS: 3,
    Quantity.TEMPERATURE: 3,
    Quantity.HUMIDITY: 3,
    Quantity.PRESSURE: 0,
}

_PLAIN_UNIT = {"Cel": "degC"}
"""Registered units that people write otherwise."""

_OTHERWISE = {"C": "coulomb", "F": "farad", "%": "a ratio, not a percentage"}
"""Registered units that are something else to a person (RFC 8428, section 12.1)."""

_QUALITY = {
    Quality.IN_MOTION: "in-motion",
    Quality.SUSPECT: "suspect",
    Quality.BAD: "bad",
}
_QUALITY_OF = {label: quality for quality, label in _QUALITY.items()}
_NO_NUMBER = "no usable number"


class Record(msgspec.Struct, frozen=True):
    """One resolved record of a pack; `value` is None where it holds no number."""

    name: str
    taken_us: int
    value: Decimal | None
    unit: str | None
    quality: Quality = Quality.GOOD

    def sample(self, quantity: Quantity) -> Sample:
        """Return the sample of an instrument that measures `quantity`. Raises PackError."""
        if self.quality is Quality.BAD:
            return Sample(quantity, 0, Quality.BAD)
        if self.value is None:
            raise PackError("no number")
        unit = self.unit if self.unit is not None else _UNIT[quantity]
        if unit in _OTHERWISE:
            meant = _UNIT[quantity]
            raise PackError(f'unit "{unit}" is {_OTHERWISE[unit]} in SenML: expected "{meant}"')
        try:
            fixed = units.to_fixed(self.value, _PLAIN_UNIT.get(unit, unit), quantity)
        except units.UnitError as error:
            raise PackError(str(error)) from error
        return Sample(quantity, fixed, self.quality)


class _Written(msgspec.Struct, omit_defaults=True):
    """A record as it stands in the pack; labels that are not here are ignored (section 4.4)."""

    bver: int | None = None
    bn: str | None = None
    bt: Decimal | None = None
    bu: str | None = None
    bv: Decimal | None = None
    n: str | None = None
    t: Decimal | None = None
    u: str | None = None
    v: Decimal | None = None
    vs: str | None = None
    vb: bool | None = None
    vd: str | None = None
    s: float | None = None
    quality: str | None = None  # a label of our own

    @property
    def measures(self) -> bool:
        """Whether it is more than base fields for those that follow (section 5.1.7)."""
        fields = (self.n, self.t, self.u, self.v, self.vs, self.vb, self.vd, self.s, self.bv)
        return any(field is not None for field in fields)


_ENCODER = msgspec.json.Encoder(decimal_format="number")
_DECODER = msgspec.json.Decoder(list[_Written])
_LABELS = msgspec.json.Decoder(list[dict[str, msgspec.Raw]])

# ------------------------------------------------------------ out


def encode(readings: Sequence[Reading], quantities: Mapping[str, Quantity]) -> bytes:
    """Return the readings as one pack, channel by channel; all have a quantity by their name.

    Each channel gives its name and unit once, and the first record the time that all others
    count from (section 4.1).
    """
    base_us = min((r.taken_us for r in readings), default=0) // _US_PER_S * _US_PER_S
    records: list[_Written] = []
    for name, same in groupby(sorted(readings, key=attrgetter("channel")), attrgetter("channel")):
        begun = len(records)
        quantity = quantities[name]
        records += [_written(reading, quantity, base_us) for reading in same]
        records[begun].bn, records[begun].bu = name, _UNIT[quantity]
    if records:
        records[0].bt = Decimal(base_us // _US_PER_S)
    return _ENCODER.encode(records)


def _written(reading: Reading, quantity: Quantity, base_us: int) -> _Written:
    offset_s = Decimal(reading.taken_us - base_us).scaleb(-6)
    label = _QUALITY.get(reading.quality)
    if reading.quality is Quality.BAD:  # no "v": no reader is to take it for a number
        return _Written(t=offset_s, vs=_NO_NUMBER, quality=label)
    value = Decimal(reading.value).scaleb(-_DECIMALS[quantity])
    return _Written(t=offset_s, v=value, quality=label)


# ------------------------------------------------------------ in


def decode(data: bytes, now_us: int) -> list[Record]:
    """Return the resolved records of a pack in their order (section 4.6).

    `now_us` is what relative times count from: UTC microseconds. Raises PackError, one
    sentence, where the pack as a whole cannot be used.
    """
    if len(data) > MAX_BYTES:
        raise PackError(f"the pack is longer than {MAX_BYTES} bytes")
    written = _parsed(_DECODER, data)
    if len(written) > MAX_RECORDS:
        raise PackError(f"the pack has more than {MAX_RECORDS} records")
    if b'_"' in data or b"\\u005" in data:  # an escaped underscore is one too
        _check_labels(data)
    return list(_resolved(written, now_us))


def _parsed(decoder: msgspec.json.Decoder[Any], data: bytes) -> Any:  # noqa: ANN401 - its type is the decoder's
    try:
        return decoder.decode(data)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise PackError(f"not SenML in JSON: {error}") from error


def _check_labels(data: bytes) -> None:
    """Refuse what must be understood and is not (section 4.4)."""
    for record in _parsed(_LABELS, data):
        for label in record:
            if label.endswith("_"):
                raise PackError(f'the label "{label[:40]}" must be understood, and is not')


def _resolved(written: Iterable[_Written], now_us: int) -> Iterable[Record]:
    name, unit, base_s, base = "", None, _ZERO, None
    for place, one in enumerate(written, 1):
        if one.bver is not None and one.bver > _VERSION:
            raise PackError(f"version {one.bver}; this program reads up to {_VERSION}")
        name = one.bn if one.bn is not None else name
        unit = one.bu if one.bu is not None else unit
        base_s = one.bt if one.bt is not None else base_s
        base = one.bv if one.bv is not None else base
        if not one.measures:
            continue
        full = name + (one.n or "")
        if not NAME.fullmatch(full):
            raise PackError(f'record {place}: "{full[:40]}" is no name in SenML')
        yield Record(
            full,
            _time_us(_added(base_s, one.t or _ZERO), now_us),
            _value(base, one),
            one.u if one.u is not None else unit,
            _QUALITY_OF.get(one.quality or "", Quality.GOOD),
        )


def _time_us(seconds: Decimal, now_us: int) -> int:
    if abs(seconds) >= _LAST_S:
        raise PackError(f"a time of {seconds:.3g} s is out of range")
    taken_us = round(seconds * _US_PER_S)
    return taken_us if seconds >= _RELATIVE_BELOW_S else now_us + taken_us


def _value(base: Decimal | None, one: _Written) -> Decimal | None:
    """Add base value and value; None where the record holds something else (section 4.5.4)."""
    if one.v is None and (base is None or (one.vs, one.vb, one.vd) != (None, None, None)):
        return None
    return _added(base or _ZERO, one.v or _ZERO)


def _added(base: Decimal, more: Decimal) -> Decimal:
    for part in (base, more):
        if not part.is_finite() or (part and abs(part.adjusted()) > _MAX_DECADES):
            raise PackError("a number is out of range")
    return base + more
