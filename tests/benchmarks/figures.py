"""What a benchmark found, beside what the design allows."""

import os
import sys
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple


class Figure(NamedTuple):
    """One measured value, its yardstick, and the bounds of their ratio that the budget sets.

    `yardstick` is what was measured beside it, or the budget itself.
    """

    what: str
    value: float
    yardstick: float
    unit: str
    at_least: float | None = None
    at_most: float | None = None

    @property
    def ratio(self) -> float:
        """The value as a share of its yardstick."""
        return self.value / self.yardstick

    @property
    def kept(self) -> bool:
        """Whether the budget is kept; a figure without bounds is only told."""
        low = self.at_least is None or self.ratio >= self.at_least
        return low and (self.at_most is None or self.ratio <= self.at_most)

    @property
    def budget(self) -> str:
        """The bounds of the ratio, as a person reads them."""
        low = "" if self.at_least is None else f"at least {self.at_least:g}"
        high = "" if self.at_most is None else f"at most {self.at_most:g}"
        return low + high or "none"


HEADS = ("what", "figure", "yardstick", "unit", "ratio", "budget", "")
WIDTHS = (52, 11, 11, 10, 8, 13, 6)


def table(figures: Iterable[Figure]) -> str:
    """Return the figures as a table, with the machine's load."""
    rows = [HEADS, *(_cells(figure) for figure in figures)]
    lines = [_line(row) for row in rows]
    one, five, _ = os.getloadavg()
    lines.append(f"load of the machine: {one:.1f} ({five:.1f} over 5 min), {os.cpu_count()} cores")
    return "\n".join(lines) + "\n"


def _cells(figure: Figure) -> Sequence[str]:
    numbers = (_number(figure.value), _number(figure.yardstick), figure.unit)
    verdict = "kept" if figure.kept else "BROKEN"
    return (figure.what, *numbers, f"{figure.ratio:.3f}", figure.budget, verdict)


def _number(value: float) -> str:
    return f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.4g}"


def _line(cells: Sequence[str]) -> str:
    return " ".join(f"{cell:<{width}}" for cell, width in zip(cells, WIDTHS, strict=True)).rstrip()


def judge(measure: Callable[[], Sequence[Figure]]) -> int:
    """Measure, print, and return the exit code: 1 where a budget is broken."""
    figures = measure()
    sys.stdout.write(table(figures))
    return 0 if all(figure.kept for figure in figures) else 1
