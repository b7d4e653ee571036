"""What happens to a scale while its maker waits: a hand on it, a knock, a thing laid down."""

from collections.abc import Callable

from simulators.hands import Hands, Motion

THING_G = (15.0, 160.0)


def interlude(hands: Hands, often: float) -> Motion:
    """Disturb the scale in one way or another, as often as this maker does; mostly not at all."""
    if not often or hands.chance.random() >= often:
        return
    yield from hands.about(1.5, 4.0)
    yield from hands.chance.choice(WAYS)(hands)
    yield from hands.about(1.5, 4.0)


def leaning_hand(hands: Hands) -> Motion:
    """Rest a hand on the pan or on what stands there."""
    hands.bench.pan.hand_g = hands.chance.uniform(30.0, 400.0)
    yield from hands.about(0.5, 3.0)
    hands.bench.pan.hand_g = 0.0


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


WAYS: tuple[Callable[[Hands], Motion], ...] = (leaning_hand, knock, thing_laid_down)
