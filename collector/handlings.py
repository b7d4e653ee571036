"""What hands do with containers: put, lift, tare, swap, lean; how likely, and what comes of it.

Shares, spreads and habits are common practice, no source. Costs are negative logarithms, as in
`chances`.
"""

from collections.abc import Iterator

import msgspec

from collector.case import Case
from collector.chances import Bell, Heavier, Stretch, cost_of
from collector.conclusions import WeighingKind
from collector.containers import Next, puts
from collector.expectations import Stage
from collector.liftings import at_zero, lifted, lifting, lifts
from collector.scene import LEAST_CONTAINER_MG, Load, Scene
from collector.weighings import Step

GRADUAL = 3.0
"""Put or taken off, and yet it took its time: a hand that lingers, a slow display."""

LINGERING_US = 1_500_000
GRADUAL_EACH_S, GRADUAL_MOST = 1.5, 14.0
"""A longer while costs so much more each second, and at most so much."""

SWAPPED, SWAPPED_AGAIN, SWAP_OTHERWISE = 1.5, 0.3, 3.0
"""One thing took another's place before the scale rested: a vessel, again, and the pitcher."""

RARE_THING, THING_MOVES, THING_MEANWHILE = 3.6, 3.0, 2.5
"""A thing is laid down; it moves; and it leaves while something else comes."""

STAYS_S, STAYS_LONGER_S = 3.5, 2.5
"""A thing is laid down for so long; each time so much longer is less than half as likely."""

SLIPPED = 2.5
"""The scale itself moved a little."""

SETTLED, SETTLING_US, SETTLING_MG = 0.5, 5_000_000, 1_500
"""So soon after a pour so small a change is the end of it."""

THINGS = (Heavier(0.97, 150_000), Stretch(0.03, 0, 2_000_000))
"""Masses of what may be put on a workshop's scale, where nothing is known of it yet."""


def handlings(scene: Scene, step: Step, case: Case) -> Iterator[Next]:
    """Go through what hands may have done in one step of the scale."""
    yield from _slipped(scene, step, case)
    yield from _settled(scene, step, case)
    if scene.load is Load.THING:
        yield from _thing_goes(scene, step, case)
        return
    yield from _tared(scene, step, case)
    abrupt = _abruptness(step, case)
    for after, cost in _by_hand(scene, step, case):
        yield after, cost + abrupt


def _by_hand(scene: Scene, step: Step, case: Case) -> Iterator[Next]:
    if step.change_mg > 0:
        yield _thing(scene, step)
        if scene.load is Load.NOTHING:
            yield from puts(scene, step, case)
    else:
        yield from lifts(scene, step, case)
        yield from _scooped(scene, step, case)
    if scene.load is not Load.NOTHING:
        yield from _swaps(scene, step, case)


def _abruptness(step: Step, case: Case) -> float:
    """Return what it costs to say that something was put or taken, by how abruptly it came."""
    if case.typed or step.abrupt:
        return 0.0
    return gradual(step.after.from_us - step.before.to_us)


def gradual(took_us: int) -> float:
    """Return what it costs to say that something was put or taken, though it took so long."""
    longer_s = max(0, took_us - LINGERING_US) / 1e6
    return min(GRADUAL_MOST, GRADUAL + GRADUAL_EACH_S * longer_s)


# ---------------------------------------------------------------- tare, slip, things


TARES = {
    (Load.NOTHING, False): 1.0,
    (Load.PITCHER, False): 0.7,
    (Load.PITCHER, True): 1.2,
    (Load.VESSEL, False): 0.7,
    (Load.VESSEL, True): 3.5,
    (Load.BEAKER, False): 0.6,
    (Load.BEAKER, True): 3.5,
}
"""What it costs to say that the key was pressed: by the load, and whether something is in it."""

TARED_BLEND = 3.5


def _tared(scene: Scene, step: Step, case: Case) -> Iterator[Next]:
    if at_zero(step.after, case):
        yield scene.tared(step.before.value_mg), tare_cost(scene)


def tare_cost(scene: Scene) -> float:
    """Return what it costs to say that the key was pressed."""
    full = scene.in_container_mg >= LEAST_CONTAINER_MG // 3
    cost = TARES[scene.load, full and scene.load is not Load.NOTHING]
    if scene.load is Load.PITCHER and scene.stage >= Stage.BLEND and not scene.habits.by_loss:
        return TARED_BLEND
    return cost


def _slipped(scene: Scene, step: Step, case: Case) -> Iterator[Next]:
    """The scale itself moved a little: a knock, a draught, a foot of the table."""
    most_mg = max(4_000, 4 * case.division_mg)
    if abs(step.change_mg) <= most_mg:
        sigma = max(250.0, 0.6 * case.division_mg)
        mixture = (Bell(0.97, 0.0, sigma), Stretch(0.03, -most_mg, most_mg))
        yield scene.shifted(step.change_mg), SLIPPED + cost_of(mixture, step.change_mg)


def _settled(scene: Scene, step: Step, case: Case) -> Iterator[Next]:
    """The last drops of what was poured, or a slow display, still on its way."""
    opened = scene.open
    if opened is None or scene.load is Load.THING:
        return
    late = step.after.from_us - opened.gone_us > SETTLING_US
    if late or abs(step.change_mg) > max(SETTLING_MG, 2 * case.division_mg):
        return
    sigma = max(400.0, 0.8 * case.division_mg)
    settled = msgspec.structs.replace(opened.at_rest(step.after), gone_us=step.after.from_us)
    yield scene.with_open(settled), SETTLED + cost_of((Bell(1.0, 0.0, sigma),), step.change_mg)


def _thing(scene: Scene, step: Step) -> Next:
    after = scene.but(
        load=Load.THING,
        under=scene,
        under_mg=step.before.value_mg,
        laid_us=step.after.from_us,
    )
    return after, RARE_THING + cost_of(THINGS, step.change_mg)


def _thing_goes(scene: Scene, step: Step, case: Case) -> Iterator[Next]:
    under = scene.under
    if under is None:
        return
    off_mg = step.after.value_mg - scene.under_mg
    sigma = max(500.0, 0.8 * case.division_mg)
    yield (
        under.shifted(off_mg) if abs(off_mg) < 2 * sigma else under,
        cost_of((Bell(0.9, 0.0, sigma),), off_mg),
    )
    moved = (Stretch(1.0, -2_000_000, 2_000_000),)
    yield scene, THING_MOVES + cost_of(moved, step.change_mg)
    if step.change_mg < 0 or not step.abrupt:
        return
    # The thing left and something else came while the scale was in motion.
    meanwhile = _between(step, scene.under_mg)
    if meanwhile.change_mg > 0:
        for after, cost in _by_hand(under, meanwhile, case):
            if after.load is not Load.THING:
                yield after, cost + THING_MEANWHILE


def lingering(scene: Scene, at_us: int) -> float:
    """Return what it costs to say that a thing still lies on the pan, or lay there until now."""
    if scene.load is not Load.THING:
        return 0.0
    return max(0.0, (at_us - scene.laid_us) / 1e6 - STAYS_S) / STAYS_LONGER_S


def _between(step: Step, level_mg: int) -> Step:
    """Return the second half of a step that went over a level without resting there."""
    before = msgspec.structs.replace(step.before, value_mg=level_mg)
    return Step(before, step.after, step.abrupt)


def _scooped(scene: Scene, step: Step, case: Case) -> Iterator[Next]:
    """Some was taken out again: wax past its mark, a fill past its brim."""
    opened = scene.open
    if opened is None or opened.lost or opened.key.tipped:
        return
    if opened.key.kind is WeighingKind.FRAGRANCE and not opened.apart:
        return  # what is in the wax does not come out again
    left_mg = opened.net_at(step.after.value_mg)
    expected = {
        WeighingKind.WAX: case.targets.wax(opened.key.pitcher),
        WeighingKind.FILL: case.targets.fill(),
        WeighingKind.FRAGRANCE: case.targets.fragrance(scene.wax_mg or 0),
    }[opened.key.kind]
    if left_mg < 0.3 * expected.target_mg:
        return
    sigma = max(1_200.0, 0.008 * expected.target_mg, 0.6 * case.division_mg)
    mixture = (Bell(0.6, expected.target_mg, sigma), Stretch(0.4, 0, 1.2 * expected.target_mg))
    scooped = msgspec.structs.replace(
        opened.at_rest(step.after), gone_us=step.after.from_us, trimmed=True
    )
    # It is no container that leaves, so the pace tells nothing: take back what it costs.
    yield scene.with_open(scooped), 1.5 + cost_of(mixture, left_mg) - _abruptness(step, case)


# ---------------------------------------------------------------- swapped


def _swaps(scene: Scene, step: Step, case: Case) -> Iterator[Next]:
    """One thing lifted and another put before the scale came to rest."""
    bare_mg = scene.bare_mg
    if bare_mg is None or not (step.abrupt or case.typed):
        return
    if scene.load is Load.PITCHER and abs(step.change_mg) < LEAST_CONTAINER_MG:
        return  # the pitcher in its own place: a lift that nobody saw is none
    level = msgspec.structs.replace(step.after, value_mg=bare_mg)
    between = lifted(scene, step.before, level, case)
    if step.after.value_mg - bare_mg <= 0:
        return
    cost = lifting(scene, case)
    swap = SWAPPED if scene.load in {Load.VESSEL, Load.BEAKER} else SWAP_OTHERWISE
    if scene.habits.swaps and swap is SWAPPED:
        swap = SWAPPED_AGAIN
    for after, put in puts(between, _between(step, bare_mg), case):
        yield after.but(habits=msgspec.structs.replace(after.habits, swaps=True)), cost + swap + put
