"""Readings and events as line protocol, and values back: pure.

Written by hand and held against the client library's own output in the tests: the library takes
fifteen times as long for a point, writes nothing at all for a field that is no number, and
changes a tag that ends with a backslash.

https://docs.influxdata.com/influxdb/v1/write_protocols/line_protocol_reference/
"""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from collector.events import encode
from collector.readings import Channel, Quantity, Reading
from collector.store.records import StoredEvent
from collector.units import from_fixed

READINGS = "reading"
EVENTS = "event"
"""The two measurements. Their series are bounded: one for each channel, and one for each bench
and kind of event."""

NS_PER_US = 1_000

_TAG = str.maketrans(
    {
        ",": r"\,",
        "=": r"\=",
        " ": r"\ ",
        # A config has neither in a name, and line protocol no way to write them in a tag.
        "\\": "/",
        "\n": r"\ ",
        "\r": r"\ ",
        "\t": r"\ ",
    }
)
_TEXT = str.maketrans({"\\": r"\\", '"': r"\""})
_LINE_ENDS = str.maketrans({"\n": " ", "\r": " "})


class Lines:
    """Writes lines; `channels` by name say the bench, the role and the quantity of a reading."""

    def __init__(self, channels: Mapping[str, Channel]) -> None:
        self._channels = channels
        self._heads: dict[str, tuple[str, Quantity]] = {}

    def reading(self, reading: Reading) -> str:
        """Return a reading's line; its value is a number of g, °C, %RH or Pa.

        A channel that nobody knows any more has no bench and no role, and is read as thousandths,
        as all quantities but pressure are kept.
        """
        head, quantity = self._heads.get(reading.channel) or self._head(reading.channel)
        # The mark of a reading that came long after it was taken; a Reading may lack the field.
        late = "late=true," if getattr(reading, "late", False) else ""
        value = number(from_fixed(reading.value, quantity))
        return f"{head} {late}quality={reading.quality:d},value={value} {reading.taken_us}000"

    def event(self, stored: StoredEvent) -> str:
        """Return an event's line: its JSON, its number and its lot.

        Events of one bench and kind may share a microsecond, and one point would overwrite the
        other. The nanoseconds below the microsecond are the last three digits of the event's
        number: different within any thousand events, and the same at every sending.
        """
        event, kind = stored.event, stored.event.__struct_config__.tag
        head = _head(EVENTS, {"bench": event.bench, "kind": str(kind)})
        lot = "" if event.lot is None else f",lot={text(event.lot)}"
        body = f"body={text(encode(event).decode())}"
        at_ns = event.at_us * NS_PER_US + stored.seq % NS_PER_US
        return f"{head} {body}{lot},seq={stored.seq} {at_ns}"

    def _head(self, name: str) -> tuple[str, Quantity]:
        channel = self._channels.get(name)
        bench, role = (channel.bench, channel.role.value) if channel else (None, None)
        quantity = channel.quantity if channel else Quantity.MASS
        head = _head(READINGS, {"bench": bench, "channel": name, "role": role})
        self._heads[name] = head, quantity
        return head, quantity


def _head(measurement: str, tags: Mapping[str, str | None]) -> str:
    """Return measurement and tags; an empty tag is left out, as the reference demands."""
    written = [f"{name}={tag(value)}" for name, value in sorted(tags.items()) if value]
    return ",".join([measurement, *written])


def tag(value: str) -> str:
    """Return a tag's value with its special characters escaped."""
    return value.translate(_TAG)


def text(value: str) -> str:
    """Return a string field in quotes; a line's end, which none may hold, becomes a space.

    In JSON that loses nothing: a line's end stands between its tokens, never inside a string.
    """
    return f'"{value.translate(_LINE_ENDS).translate(_TEXT)}"'


def number(value: float) -> str:
    """Return a float field in the fewest digits that are read back as the same number."""
    return repr(value).removesuffix(".0")


def fixed_points(values: NDArray[np.float64], quantity: Quantity) -> NDArray[np.int64]:
    """Return what `Lines.reading` wrote as integers of the quantity's resolution again.

    Exact up to 2**51 steps, which is more than two million kilograms.
    """
    steps = round(1 / from_fixed(1, quantity))
    return np.rint(values * steps).astype(np.int64)
