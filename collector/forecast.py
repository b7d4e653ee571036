"""When a temperature will be reached, with an interval that holds the truth nine times in ten.

The curve since the last disturbance is fitted under many laws at once: surroundings that may be
(those of the room's probe, or 16 to 30 °C), exponents from 1 to 1.25, and loss that wanders more
or less. Each law is weighed by how well it explains the curve, each gives a moment with its error,
and the interval is cut out of all of them together. Three sources of error stand in the fit's
covariance, because residuals of a curve hang together and plain least squares would take far too
narrow an interval:

* the points' own noise;
* the loss itself, which wanders: the room swings, a door opens, the pitcher is lifted and put
  elsewhere. The rate is taken as a random walk from now into the past and into the future
  (integrated Brownian motion: variance v |t|**3 / 3, covariance v s**2 (3 t - s) / 6 for s < t);
* a probe that still followed the wax when the piece began: an exponential tail.
"""

import math
from enum import StrEnum
from statistics import NormalDist

import msgspec
import numpy as np
from numpy.typing import NDArray

from collector.cooling import Floats, steepness, straightened
from collector.trace import Curve, line, noise_mdegc

US_PER_S = 1_000_000

LEAST_S = 30.0
"""A shorter piece of curve tells the noise of the probe, not the cooling of the wax."""

LEAST_POINTS = 5
POINTS = 32
"""More say no more about a curve this smooth, and cost time."""

EXPONENTS = np.array([1.0, 1.08, 1.17, 1.25])
ROOMS_MDEGC = np.arange(17_000.0, 30_000.0, 2_000.0)
"""Where no probe tells: workshops between 16 and 30 °C, one as likely as another."""

AROUND_ROOM = ((-1_200.0, 1 / 6), (0.0, 2 / 3), (1_200.0, 1 / 6))
"""The air at the pitcher against the room's probe (0.001 °C, weight): deviation 0.7 °C, assumed."""

WANDERS = ((0.005, 0.25), (0.015, 0.4), (0.03, 0.35))
"""By what share the loss wanders in ten minutes, and how often; set by simulated coolings."""

WANDER_S = 600.0
TAIL_MDEGC, TAIL_S = 250.0, 12.0
"""What a probe's lag may leave of a jump when the piece begins, and how fast that fades."""

CLING_MDEGC = 4.0
"""What a mean over many readings keeps of a probe's steps, and of wax that is not mixed."""

FAR_BELOW_MDEGC = 200_000.0
"""Only so that a straight line can be said as a law with the exponent 0."""

WARMING_WANDERS = ((0.1, 0.4), (0.3, 0.6))
"""The same as WANDERS for wax on a plate or in a bath, where a hand turns the heat: assumed."""

STILL_MDEGC_PER_S = 50.0 / 60
"""Slower than 0.05 °C a minute is neither cooling nor warming."""

SURE = 3.0
"""In errors of the rate: what is less is not known to move."""

LONGEST_S = 6 * 3600.0
"""Nobody waits longer at the bench."""

NODES = np.array([NormalDist().inv_cdf((i + 0.5) / 21) for i in range(21)])
"""A normal distribution as equally likely points."""


class Why(StrEnum):
    """Why there is no forecast."""

    NO_PROBE = "no probe"
    TOO_SHORT = "too short"
    RISING = "rising"
    STEADY = "steady"
    SLOWING = "slowing"
    SETTING = "setting"
    NEVER = "never"


class Span(msgspec.Struct, frozen=True):
    """How long until something happens: nine times in ten between the first and the last."""

    soonest_us: int
    likely_us: int
    latest_us: int

    def later(self, by_us: int) -> "Span":
        """Return the same moments as seen `by_us` later, none before now."""
        ends = (self.soonest_us, self.likely_us, self.latest_us)
        return Span(*(max(0, end - by_us) for end in ends))


REACHED = Span(0, 0, 0)


class Laws(msgspec.Struct, frozen=True):
    """The laws that may hold, and what each makes of the curve's piece.

    `place` and `rate` are the fit at the end of the curve in straightened temperature (0.001 °C,
    and that per second); `spread` their covariance, (laws, 3): of place, of both, of rate.
    """

    at_us: int
    mdegc: float
    ambients: Floats
    exponents: Floats
    wanders: Floats
    weights: Floats
    place: Floats
    rate: Floats
    spread: Floats

    @property
    def mdegc_per_s(self) -> float:
        """How fast the temperature changes at the end of the curve."""
        return float(self.weights @ self.rate)

    @property
    def rate_error(self) -> float:
        """The error of that, 0.001 °C per second."""
        mean = self.mdegc_per_s
        return math.sqrt(float(self.weights @ (self.spread[:, 2] + (self.rate - mean) ** 2)))

    def until(self, mdegc: int) -> Span | Why:
        """Return how long after `at_us` a temperature is reached, or why that cannot be said."""
        shares = (mdegc - self.ambients) / (self.mdegc - self.ambients)
        possible = (shares > 0.01) & (self.rate * np.sign(mdegc - self.mdegc) > 0)
        if float(self.weights[possible].sum()) < 0.97:
            return Why.NEVER
        bent = straightened(shares[possible], self.exponents[possible])
        goal = bent * (self.mdegc - self.ambients[possible])
        rate, spread = self.rate[possible], self.spread[possible]
        wait = (goal - self.place[possible]) / rate
        ahead = np.maximum(wait, 0.0)
        error = (spread[:, 0] + 2 * ahead * spread[:, 1] + ahead**2 * spread[:, 2]) / rate**2
        error += self.wanders[possible] ** 2 / WANDER_S * ahead**3 / 3
        return _cut(wait, np.sqrt(error), self.weights[possible])


def _cut(wait: Floats, error: Floats, weights: Floats) -> Span | Why:
    moments = (wait[:, None] + error[:, None] * NODES).ravel()
    order = np.argsort(moments, kind="stable")
    moments = moments[order]
    each = np.repeat(weights / len(NODES), len(NODES))[order]
    reached = (np.cumsum(each) - each / 2) / each.sum()
    ends = np.interp((0.05, 0.5, 0.95), reached, moments)
    if ends[2] > LONGEST_S:
        return Why.NEVER
    return Span(*(max(0, round(float(end) * US_PER_S)) for end in ends))


def fit_laws(piece: Curve, room_mdegc: int | None) -> Laws | Why:
    """Fit the laws to a piece of curve without a disturbance; `room_mdegc` from its probe.

    Says Why where the piece is too short.
    """
    if len(piece.seconds) < LEAST_POINTS or piece.seconds[-1] - piece.seconds[0] < LEAST_S:
        return Why.TOO_SHORT
    noise = noise_mdegc(piece)
    curve = piece.thinned(POINTS)
    slope, _middle = line(curve)
    if slope > 0:
        return _straight(curve, noise, slope)
    ambients, exponents, priors = _hypotheses(room_mdegc, float(curve.mdegc.min()))
    if not len(ambients):
        return Why.NEVER
    return _weigh(curve, noise, slope, (ambients, exponents, priors))


def _hypotheses(room_mdegc: int | None, coolest: float) -> tuple[Floats, Floats, Floats]:
    if room_mdegc is None:
        ambients, weights = ROOMS_MDEGC, np.ones_like(ROOMS_MDEGC)
    else:
        ambients = np.array([room_mdegc + off for off, _weight in AROUND_ROOM])
        weights = np.array([weight for _off, weight in AROUND_ROOM])
    below = ambients < coolest - 1000
    pairs = (int(below.sum()), len(EXPONENTS))
    return (
        np.repeat(ambients[below], pairs[1]),
        np.tile(EXPONENTS, pairs[0]),
        np.repeat(weights[below], pairs[1]),
    )


def _straight(curve: Curve, noise: float, slope: float) -> Laws:
    """Take what warms as rising straight on, with a rate that may soon be another."""
    now = float(curve.mdegc[-1])
    laws = (np.array([now - FAR_BELOW_MDEGC]), np.array([0.0]), np.array([1.0]))
    return _weigh(curve, noise, slope, laws, WARMING_WANDERS)


def _weigh(
    curve: Curve,
    noise: float,
    slope: float,
    hypotheses: tuple[Floats, Floats, Floats],
    wanders: tuple[tuple[float, float], ...] = WANDERS,
) -> Laws:
    """Fit every hypothesis with every wander, and weigh each by its evidence."""
    ambients, exponents, priors = hypotheses
    now = float(curve.mdegc[-1] - slope * curve.seconds[-1])
    apart = now - ambients
    shares = (curve.mdegc[:, None] - ambients) / apart
    steep = steepness(shares, exponents)
    bent = straightened(shares, exponents) * apart
    # In °C each law reads: bent / steep = place / steep + rate t / steep, and noise is the same.
    design = np.stack((bent / steep, 1 / steep, curve.seconds[:, None] / steep))
    middle = steep[:, len(ambients) // 2]
    fits = [
        _fit(design, _covariance(curve, noise, slope / middle * wander)) for wander, _w in wanders
    ]
    evidence = np.concatenate(
        [
            fit[0] + math.log(weight) + np.log(priors)
            for fit, (_wander, weight) in zip(fits, wanders, strict=True)
        ]
    )
    likely = np.exp(evidence - evidence.max())
    many = len(wanders)
    return Laws(
        curve.at_us,
        now,
        np.tile(ambients, many),
        np.tile(exponents, many),
        np.repeat([wander for wander, _weight in wanders], len(ambients)),
        likely / likely.sum(),
        np.concatenate([fit[1][0] for fit in fits]),
        np.concatenate([fit[1][1] for fit in fits]),
        np.concatenate([fit[2] for fit in fits]),
    )


def _covariance(curve: Curve, noise: float, wandering: Floats) -> Floats:
    """Return how the errors of the curve's points hang together; (0.001 °C) squared."""
    ago = -curve.seconds
    first, last = np.minimum.outer(ago, ago), np.maximum.outer(ago, ago)
    walk = first**2 * (3 * last - first) / 6 / WANDER_S
    tail = TAIL_MDEGC * np.exp((ago - ago[0]) / TAIL_S)
    own = noise**2 * np.median(curve.counts) / curve.counts
    result: Floats = np.outer(wandering, wandering) * walk + np.outer(tail, tail)
    result[np.diag_indices_from(result)] += own + CLING_MDEGC**2
    return result


def _fit(design: NDArray[np.float64], covariance: Floats) -> tuple[Floats, Floats, Floats]:
    """Return each law's log evidence, its (place, rate), and their covariance, by Gauss's rule."""
    root = np.linalg.cholesky(covariance)
    bent, place, rate = np.linalg.inv(root) @ design
    pp, pr, rr = (place * place).sum(0), (place * rate).sum(0), (rate * rate).sum(0)
    pb, rb = (place * bent).sum(0), (rate * bent).sum(0)
    size = pp * rr - pr * pr
    best = np.stack(((rr * pb - pr * rb) / size, (pp * rb - pr * pb) / size))
    missed = (bent**2).sum(0) - best[0] * pb - best[1] * rb
    evidence = -missed / 2 - np.log(size) / 2 - np.log(np.diag(root)).sum()
    return evidence, best, np.stack((rr / size, -pr / size, pp / size), axis=1)
