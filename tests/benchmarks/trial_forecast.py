"""The seam to the service's forecast: until when the wax has cooled to a temperature.

The service answers by the `wax_ahead` of its lot's heat with a span of `soonest_us`, `likely_us`
and `latest_us` after the moment it is asked, or with None where it cannot tell.
"""

from dataclasses import dataclass

from collector.bench import Bench


@dataclass(frozen=True)
class Forecast:
    """What the service said at `asked_s` about `degc`; the three are seconds of the bench."""

    degc: float
    asked_s: float
    soonest_s: float
    likely_s: float
    latest_s: float


def forecast(bench: Bench, degc: float, asked_s: float) -> Forecast | None:
    """Ask the service at its latest input; None while no lot is open."""
    if bench.run is None:
        return None
    span = bench.run.heat.wax_ahead(round(degc * 1000), bench.now_us)
    if span is None:
        return None
    soonest, likely, latest = (
        asked_s + us / 1e6 for us in (span.soonest_us, span.likely_us, span.latest_us)
    )
    return Forecast(degc, asked_s, soonest, likely, latest)
