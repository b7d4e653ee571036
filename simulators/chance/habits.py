"""A maker and her instruments, drawn at random."""

from random import Random

from simulators.bench_model import PITCHER_PROBE, POT_PROBE, ROOM_PROBE
from simulators.instruments import Instruments, ProbeKind, ScaleKind
from simulators.scenario import Habits
from simulators.wire.serial_scales import Dialect

DIVISIONS_G = (0.1, 0.1, 0.1, 0.1, 0.2, 0.5, 1.0, 1.0, 1.0)
DIALECTS = (*Dialect, None)


def chance_habits(chance: Random) -> Habits:
    """Draw how a maker works."""

    def sometimes(share: float) -> bool:
        return chance.random() < share

    stirs_on_scale = sometimes(0.5)
    return Habits(
        tares_pitcher=sometimes(0.65),
        tares_fragrance=sometimes(0.6),
        tares_vessels=sometimes(0.6),
        stirs_on_scale=stirs_on_scale,
        cools_on_scale=sometimes(0.4),
        swaps_quickly=sometimes(0.3),
        ladles=chance.choice((0, 0, 1, 2, 3, 4, 5)),
        overshoots=sometimes(0.2),
        draws_at_pot=sometimes(0.2),
        draws_in_two_goes=sometimes(0.15),
        waits_on=chance.choice(("scale", "scale", "bench", "plate")),
        weighs_apart=sometimes(0.3),
        tares_beaker=sometimes(0.7),
        tips_in_on_scale=sometimes(0.6),
        adds_a_drop=sometimes(0.2),
        cools_on_plate=sometimes(0.2),
        fills_by_loss=sometimes(0.22),
        tares_loss=sometimes(0.5),
        two_goes=chance.choice((0.0, 0.0, 0.2, 0.6)),
        puts_back=chance.choice((0.0, 0.0, 0.1, 0.3)),
        strays=chance.choice((0.0, 0.1, 0.3, 0.6)),
    )


def chance_vessel_g(chance: Random, fill_g: float) -> float:
    """Draw the mass of an empty vessel: a light tin, a glass, or about as heavy as its fill."""
    kinds = ((20.0, 45.0), (150.0, 500.0), (150.0, 500.0), (0.9 * fill_g, 1.1 * fill_g))
    return round(chance.uniform(*chance.choice(kinds)), 1)


def chance_instruments(chance: Random) -> Instruments:
    """Draw the scale and the thermometers of a bench."""
    division_g = chance.choice(DIVISIONS_G)
    scale = ScaleKind(
        dialect=chance.choice(DIALECTS),
        resolution_g=division_g,
        every_s=1.0 / chance.choice((2, 3, 4, 5, 5, 8, 10)),
        tremble_g=round(chance.uniform(0.02, 0.15), 3),
        drift_g_per_h=round(chance.uniform(-0.3, 0.3), 2),
        stroke_g=round(chance.uniform(5.0, 25.0), 1),
    )
    others = [name for name in (POT_PROBE, ROOM_PROBE) if chance.random() < 0.75]
    probes = ProbeKind(
        lag_s=round(chance.uniform(2.0, 15.0), 1),
        noise_k=round(chance.uniform(0.005, 0.04), 3),
        every_s=chance.choice((1.0, 1.0, 2.0)),
        names=(PITCHER_PROBE, *others),
    )
    return Instruments(scale, probes)
