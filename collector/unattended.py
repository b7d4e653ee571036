"""Signs of a person at a bench, and a pot that is left hot without any.

Only the pot counts: it stands on heat. A pitcher above the bound cools by itself, and half an
hour without a sign is how a maker waits for it.
"""

from collector.attendance import Unattended
from collector.readings import Channel, Quality, Reading, Role
from collector.thermometer import FRESH_US

STEP_MG = 5_000
"""A change of the scale by more is a hand, not drift or a draught. Common practice, no source."""

STEP_US = 10_000_000
"""Within how long: a scale does not drift by `STEP_MG` in that time."""

DEADBAND_MDEGC = 1000
"""A pot counts as hot until it is this much below the bound: 1 % of its 100 °C, as for its
greatest temperature."""


class Attendance:
    """Follows who touches a bench and how hot its pots are; times are UTC microseconds."""

    def __init__(self, unattended: Unattended | None, since_us: int) -> None:
        self._spec = unattended
        self._signed_us = since_us
        self._scale: tuple[int, int] | None = None
        self._hot_since_us: dict[str, int] = {}
        self._latest: dict[str, Reading] = {}

    @property
    def signed_us(self) -> int:
        """When a person last gave a sign."""
        return self._signed_us

    def sign(self, at_us: int) -> None:
        """Take note of a mark, an acknowledgement or anything else that a person did."""
        self._signed_us = max(self._signed_us, at_us)

    def read(self, channel: Channel, reading: Reading) -> bool:
        """Take a reading; return whether it is a sign of a person."""
        signed = channel.typed
        if channel.role is Role.SCALE:
            signed = signed or self._stepped(reading)
        elif channel.role is Role.POT and reading.quality is Quality.GOOD:
            self._heat(reading)
        if signed:
            self.sign(reading.taken_us)
        return signed

    def _stepped(self, reading: Reading) -> bool:
        if self._scale is None:
            self._scale = reading.taken_us, reading.value
            return False
        since_us, value_mg = self._scale
        stepped = abs(reading.value - value_mg) > STEP_MG
        if stepped or reading.taken_us - since_us >= STEP_US:
            self._scale = reading.taken_us, reading.value
        return stepped

    def _heat(self, reading: Reading) -> None:
        if self._spec is None:
            return
        self._latest[reading.channel] = reading
        if reading.value >= self._spec.above_mdegc:
            self._hot_since_us.setdefault(reading.channel, reading.taken_us)
        elif reading.value < self._spec.above_mdegc - DEADBAND_MDEGC:
            self._hot_since_us.pop(reading.channel, None)

    @property
    def hot(self) -> frozenset[str]:
        """The pots that are above the bound."""
        return frozenset(self._hot_since_us)

    def left_hot(self, at_us: int) -> list[tuple[Reading, int]]:
        """Return each pot that was hot for the whole time without a sign, and how long that is.

        A pot whose probe gave nothing lately is not among them: nobody knows how hot it is.
        """
        if self._spec is None:
            return []
        found: list[tuple[Reading, int]] = []
        for channel, hot_us in self._hot_since_us.items():
            alone_us = at_us - max(hot_us, self._signed_us)
            latest = self._latest[channel]
            if alone_us >= self._spec.after_us and at_us - latest.taken_us <= FRESH_US:
                found.append((latest, alone_us))
        return found
