"""What happens to a scale while its maker waits: a hand, a knock, a thing, the pitcher lifted."""

from collections.abc import Callable

from simulators.bench_model import BenchModel
from simulators.hands import Hands, Motion
from simulators.physics.pitcher import PAN

THING_G = (15.0, 160.0)
HAND_S = 0.15
"""How long a leaning hand keeps the same weight."""

Way = Callable[[Hands], Motion]


def interlude(hands: Hands, often: float) -> Motion:
    """Disturb the scale in one way or another, as often as this maker does; mostly not at all."""
    if not often or hands.chance.random() >= often:
        return
    yield from hands.about(1.5, 4.0)
    yield from hands.chance.choice(ways_now(hands.bench))(hands)
    yield from hands.about(1.5, 4.0)


def ways_now(bench: BenchModel) -> tuple[Way, ...]:
    """Return what can happen to the scale as it stands."""
    on_pan = bench.pitcher is not None and bench.pitcher.stand is PAN
    return (*ANY_TIME, lifted_pitcher) if on_pan else ANY_TIME


def leaning_hand(hands: Hands) -> Motion:
    """Rest a hand on the pan or on what stands there; it is never quite still."""
    pan, chance = hands.bench.pan, hands.chance
    weight_g = chance.uniform(30.0, 400.0)
    for _ in range(chance.randint(3, 18)):
        pan.hand_g = weight_g * chance.uniform(0.85, 1.15)
        yield from hands.wait(HAND_S)
    pan.hand_g = 0.0


def knock(hands: Hands) -> Motion:
    """Knock at the bench: the pan swings and comes back by itself."""
    hands.bench.pan.hand_g = hands.chance.choice((-1.0, 1.0)) * hands.chance.uniform(20.0, 200.0)
    yield from hands.about(0.05, 0.15)
    hands.bench.pan.hand_g = 0.0


def thing_laid_down(hands: Hands) -> Motion:
    """Lay a spoon, a cloth or a bottle on the pan for a moment."""
    yield from hands.put("thing", hands.chance.uniform(*THING_G))
    yield from hands.about(1.5, 8.0)
    yield from hands.lift("thing")


def lifted_pitcher(hands: Hands) -> Motion:
    """Lift the pitcher from the pan, look into it and put it back."""
    pitcher = hands.bench.pitcher
    if pitcher is not None:
        yield from hands.lift_pitcher(pitcher)
        yield from hands.about(1.5, 6.0)
        yield from hands.stand(pitcher, PAN)


ANY_TIME: tuple[Way, ...] = (leaning_hand, knock, thing_laid_down)
