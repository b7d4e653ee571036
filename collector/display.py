"""How numbers are written for a person: the workshop's units, a sign, one decimal."""

from typing import Literal

import msgspec

MG_PER_G = 1000
MG_PER_OZ = 28_349.523125  # NIST Handbook 44, Appendix C: 28.349523125 g


class Display(msgspec.Struct, frozen=True):
    """The units that a workshop reads. Stored values never depend on them."""

    temperature: Literal["degC", "degF"] = "degC"
    mass: Literal["g", "oz"] = "g"

    def degrees(self, mdegc: int) -> str:
        """Write a temperature given in 0.001 °C, to a tenth of a degree."""
        if self.temperature == "degF":
            return f"{mdegc * 9 / 5000 + 32:.1f} °F"
        return f"{mdegc / 1000:.1f} °C"

    def span(self, low_mdegc: int, high_mdegc: int) -> str:
        """Write a temperature window given in 0.001 °C."""
        low, _unit = self.degrees(low_mdegc).split(" ")
        return f"{low} to {self.degrees(high_mdegc)}"

    def apart(self, mdegc: int) -> str:
        """Write how far two temperatures are apart, given in 0.001 °C."""
        if self.temperature == "degF":
            return f"{mdegc * 9 / 5000:.1f} °F"
        return f"{mdegc / 1000:.1f} °C"

    def step(self, mdegc: int) -> str:
        """Write a difference of temperatures given in 0.001 °C, in whole degrees, at least one."""
        if self.temperature == "degF":
            return f"{max(1, round(mdegc * 9 / 5000))} °F"
        return f"{max(1, round(mdegc / 1000))} °C"

    def degrees_a_minute(self, mdegc: int) -> str:
        """Write a change of temperature given in 0.001 °C a minute."""
        if self.temperature == "degF":
            return f"{mdegc * 9 / 5000:.1f} °F a minute"
        return f"{mdegc / 1000:.1f} °C a minute"

    def grams(self, mg: int) -> str:
        """Write a mass given in 0.001 g: to a tenth of a gram, or a hundredth of an ounce."""
        if self.mass == "oz":
            return f"{mg / MG_PER_OZ:.2f} oz"
        return f"{mg / MG_PER_G:.1f} g"


def duration(us: int) -> str:
    """Write a duration given in microseconds, in the unit that fits: seconds, minutes, hours."""
    seconds = round(us / 1_000_000)
    if seconds < 90:
        return f"{seconds} s"
    if seconds < 10_800:
        return f"about {round(seconds / 60)} min"
    return f"about {round(seconds / 3600)} h"


def percent(ppm: int) -> str:
    """Write a share given in parts per million, without needless zeros."""
    return f"{ppm / 10_000:.2f}".rstrip("0").rstrip(".") + " %"
