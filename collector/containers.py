"""What may be put on the bare pan: a pitcher, a vessel, a beaker; how likely, and what comes of it.

Masses, shares, spreads and habits are common practice, no source. Costs are negative logarithms,
as in `chances`.
"""

from collections.abc import Iterator

import msgspec

from collector.additions import Addition, Key
from collector.case import Case, Warmth
from collector.chances import About, Bell, Mixture, Stretch, cost_of
from collector.conclusions import WeighingKind
from collector.expectations import Stage
from collector.scene import LEAST_CONTAINER_MG, Load, Scene
from collector.weighings import Step

Next = tuple[Scene, float]
"""A scene that may follow, and what it costs."""

PITCHERS = About(1.0, 270_000, 0.5)
VESSELS = About(1.0, 160_000, 0.8)
BEAKERS = About(1.0, 80_000, 0.8)
"""Empty containers of a workshop, where nothing is known of them yet."""

SEEN_MG = LEAST_CONTAINER_MG * 2 // 3
"""A container that weighs less does not show."""

KNOWN_SHARE, BEAKER_SHARE = 0.985, 0.4
"""So often the same pitcher, a vessel of the same kind, or the same beaker comes again."""

CARRIED_US = 2_000_000
"""How long a pitcher is on its way from the pot to the scale."""

FILL_WARMTH = {Warmth.HOT: 4.0, Warmth.ADD: 3.0, Warmth.BETWEEN: 1.4, Warmth.COLD: 1.5}
"""What it costs to say that a vessel is filled although the wax is as warm as this."""

VESSEL_WARMTH = {Warmth.HOT: 2.0, Warmth.ADD: 1.5, Warmth.BETWEEN: 0.7}
"""What it costs to say that the first vessel is put although the wax is as warm as this."""


def puts(scene: Scene, step: Step, case: Case) -> Iterator[Next]:
    """Go through what may have been put on the bare pan."""
    mass_mg = step.change_mg
    bare = scene.closed().but(bare_mg=step.before.value_mg, under=None)
    yield from _put_pitcher(bare, step, case)
    yield from _put_back_pitcher(bare, step, case)
    if mass_mg < SEEN_MG:
        return
    vessel_cost = {Stage.WAX: 5.0, Stage.FRAGRANCE: 2.0, Stage.BLEND: 0.5, Stage.POUR: 0.2}
    vessel = known(bare.masses.vessel_mg, VESSELS, 0.012, 2_500)
    if bare.filled < case.targets.vessels:
        early = 0.0 if bare.stage is Stage.POUR else VESSEL_WARMTH.get(case.warmth, 0.0)
        cost = vessel_cost[bare.stage] + early + cost_of(vessel, mass_mg)
        cost += 0.0 if bare.stage is not Stage.POUR or not bare.habits.by_loss else 2.0
        yield _container(bare, Load.VESSEL, step, vessel_mg=mass_mg), cost
    if bare.stage in {Stage.FRAGRANCE, Stage.BLEND} and bare.away_mg is not None:
        beaker = known(bare.masses.beaker_mg, BEAKERS, 0.005, 1_000, BEAKER_SHARE)
        cost = (0.9 if bare.stage is Stage.FRAGRANCE else 2.5) + cost_of(beaker, mass_mg)
        yield _container(bare.tipped(), Load.BEAKER, step, beaker_mg=mass_mg), cost
    yield from _full_vessel_back(bare, step)


def _container(scene: Scene, load: Load, step: Step, **masses: int) -> Scene:
    """Return the scene with an empty container on the pan."""
    known = msgspec.structs.replace(scene.masses, **masses)
    return scene.but(load=load, empty_mg=step.after.value_mg, masses=known)


def known(
    mass_mg: int | None,
    unknown: About,
    spread: float,
    least_mg: float,
    share: float = KNOWN_SHARE,
) -> Mixture:
    """Return what a container weighs: as much as the one seen before, or anything else."""
    if mass_mg is None:
        return (unknown,)
    rest = msgspec.structs.replace(unknown, share=1.0 - share)
    sigma = max(least_mg, spread * mass_mg)
    return (Bell(share, mass_mg, sigma), rest)


def _put_pitcher(bare: Scene, step: Step, case: Case) -> Iterator[Next]:
    """An empty pitcher, or one that was filled elsewhere: the first, or the next one."""
    mass_mg = step.change_mg
    left = case.targets.vessels_of(bare.pitcher) - (bare.filled - bare.filled_before)
    cost = 0.3
    if bare.stage is Stage.POUR and bare.pitcher < case.targets.pitchers:
        bare, cost = bare.turned(), 2.0 + max(0, min(left, 3))
    if bare.stage is not Stage.WAX or bare.wax_mg is not None:
        return
    if mass_mg >= LEAST_CONTAINER_MG:
        empty = known(bare.masses.pitcher_mg, PITCHERS, 0.003, 1_000)
        after = _container(bare, Load.PITCHER, step, pitcher_mg=mass_mg)
        yield after.but(pitcher_shown=True), cost + cost_of(empty, mass_mg)
    empty_mg = bare.masses.pitcher_mg
    if empty_mg is not None and bare.away_at_mg is not None:
        empty_mg = bare.away_at_mg - step.before.value_mg  # the bare pan has rested since
    if empty_mg is not None:
        yield _drawn_elsewhere(bare, step, case, empty_mg, cost + 1.0)


def _drawn_elsewhere(bare: Scene, step: Step, case: Case, empty_mg: int, cost: float) -> Next:
    expected = case.targets.wax(bare.pitcher)
    target, wax_mg = expected.target_mg, step.change_mg - empty_mg
    sigma = max(0.01 * target, 1_500.0)
    mixture = (
        Bell(0.35, target, sigma),
        Stretch(0.5, 0.8 * target, 1.02 * target),
        Stretch(0.15, 0.3 * target, 1.3 * target),
    )
    at_mg = step.after.value_mg - wax_mg
    addition = Addition(Key(WeighingKind.WAX, bare.pitcher), step.before, at_mg)
    addition = addition.went(step, target)
    # It was drawn before it was carried here.
    addition = msgspec.structs.replace(addition, gone_us=addition.gone_us - CARRIED_US)
    after = bare.but(
        load=Load.PITCHER,
        empty_mg=at_mg,
        open=addition,
        stage=max(bare.stage, Stage.FRAGRANCE),
        pitcher_shown=True,
        habits=msgspec.structs.replace(bare.habits, elsewhere=True),
    )
    return after, cost + cost_of(mixture, wax_mg)


def _put_back_pitcher(bare: Scene, step: Step, case: Case) -> Iterator[Next]:
    """The pitcher that was off the scale: as it went, with its fragrance, or poured from."""
    away_mg, mass_mg = bare.away_mg, step.change_mg
    if away_mg is None or away_mg - bare.in_pitcher_mg < SEEN_MG:
        return  # a pitcher that never showed does not come back either
    sigma = max(800.0, 0.6 * case.division_mg, 0.002 * away_mg)
    back = bare.but(away_mg=None, lifted=None, pitcher_shown=True)
    as_it_went = (Bell(0.95, away_mg, sigma), Stretch(0.05, away_mg - 8_000, away_mg + 3_000))
    cost = 0.5 if not bare.habits.by_loss else 2.0
    yield _standing(back, step), cost + cost_of(as_it_went, mass_mg)
    if bare.apart_mg:
        tipped = (Bell(1.0, away_mg + bare.apart_mg, sigma + 0.05 * bare.apart_mg),)
        after = _standing(back.but(apart_mg=0), step)
        yield after, 0.5 + cost_of(tipped, mass_mg)
    yield from _poured_from(back, step, case, away_mg)


def _standing(scene: Scene, step: Step) -> Scene:
    """Return the scene with the pitcher back on the pan, and what is in it."""
    empty_mg = step.after.value_mg - scene.in_pitcher_mg
    return scene.but(load=Load.PITCHER, empty_mg=empty_mg)


MORE_THAN_ALL, MORE_SHARE = 4.0, 0.1
"""What it costs to say that more was poured out of a pitcher than is in it, by more than the share
of a fill by which what was weighed in and out may disagree."""

DRY, DRY_SHARE = 2.0, 0.25
"""What it costs to say that the last vessel was whole, and yet less than a quarter of what always
stays on the pitcher's wall was left."""

MAX_LOST = 3
LOSSES = {1: 0.2, 2: 2.5, 3: 3.5}
"""What it costs to say that so many vessels were filled beside the scale in one go."""


def _poured_from(back: Scene, step: Step, case: Case, away_mg: int) -> Iterator[Next]:
    lost_mg = away_mg - step.change_mg
    fill_mg = case.targets.fill().target_mg
    left = case.targets.vessels_due(back.pitcher) - back.filled
    if back.wax_mg is None or lost_mg < fill_mg * 0.35 or left < 1:
        return
    rest_mg = back.in_pitcher_mg + back.apart_mg - lost_mg
    stages = {Stage.WAX: 9.0, Stage.FRAGRANCE: 4.0, Stage.BLEND: 0.5, Stage.POUR: 0.2}
    cost = stages[back.stage] + (3.0 if back.habits.on_scale else 0.0)
    cost += 0.0 if back.habits.by_loss else 0.7
    cost += FILL_WARMTH.get(case.warmth, 0.0) if back.stage is not Stage.POUR else 0.0
    cost += MORE_THAN_ALL if rest_mg < -MORE_SHARE * fill_mg else 0.0
    dry = rest_mg < case.targets.residue_mg * DRY_SHARE
    for fills in range(1, min(left, MAX_LOST) + 1):
        sigma = max(0.006 * fill_mg, 800.0, 0.6 * case.division_mg) * fills**0.5
        other = 0.12 if back.habits.by_loss else 0.04
        mixture = (
            Bell(0.85, fills * fill_mg, sigma),
            Bell(0.15, fills * fill_mg, sigma + 0.04 * fill_mg),
            Stretch(other, (fills - 0.6) * fill_mg, (fills + 0.35) * fill_mg),
        )
        base_mg = step.after.value_mg + lost_mg if back.away_at_mg is None else back.away_at_mg
        key = Key(WeighingKind.FILL, back.pitcher, back.filled + 1)
        addition = Addition(key, back.left or step.before, base_mg, lost=fills)
        addition = addition.went(step, fill_mg)
        habits = msgspec.structs.replace(back.habits, by_loss=True)
        after = back.but(
            load=Load.PITCHER,
            empty_mg=step.after.value_mg - max(0, back.in_pitcher_mg - lost_mg),
            open=addition,
            stage=Stage.POUR,
            filled=back.filled + fills,
            habits=habits,
        )
        whole = dry and lost_mg >= fills * (fill_mg - case.targets.fill().tolerance_mg)
        yield after, cost + LOSSES[fills] + (DRY if whole else 0.0) + cost_of(mixture, lost_mg)


def _full_vessel_back(bare: Scene, step: Step) -> Iterator[Next]:
    """A filled vessel that was lifted to be looked at, and is put back."""
    lifted = bare.lifted
    if lifted is None or lifted.load is not Load.VESSEL:
        return
    if lifted.mass_mg - lifted.contents_mg < SEEN_MG:
        return  # its vessel never showed: fills are alike, full vessels are not
    mixture = (Bell(1.0, lifted.mass_mg, max(800.0, 0.002 * lifted.mass_mg)),)
    empty_mg = step.after.value_mg - lifted.contents_mg
    last = bare.made[-1] if bare.made else None
    if last is None or last.key.kind is not WeighingKind.FILL:
        return
    again = msgspec.structs.replace(last, base_mg=step.after.value_mg - last.net_mg)
    after = bare.but(load=Load.VESSEL, empty_mg=empty_mg, made=bare.made[:-1], open=again)
    yield after, 1.2 + cost_of(mixture, step.change_mg)
