"""What a program with a broker runs beside everything else."""

from collections.abc import Callable, Iterable, Mapping
from importlib.metadata import version

from collector.clock import Clock
from collector.config import Config
from collector.instrument_config import Mqtt
from collector.instrument_state import InstrumentState
from collector.link.bench_state import InstrumentLink
from collector.link.forwarder import BenchAtHand, Forwarder, target_of
from collector.store.outbox import Outbox
from collector.store.store import Store
from collector.tally import Tally


def forwarded_benches(config: Config) -> list[str]:
    """Return the benches whose readings are sent to a hub."""
    if config.mqtt is None or not config.mqtt.forward:
        return []
    return list(dict.fromkeys(one.bench for one in config.instruments))


def has_remote(config: Config) -> bool:
    """Tell whether instruments of this workshop are read elsewhere."""
    return any(isinstance(one.link, Mqtt) for one in config.instruments)


def targets_of(config: Config) -> dict[str, frozenset[str]]:
    """Return the names of the outboxes that the forwarders empty, and each bench's channels."""
    return {
        target_of(bench): frozenset(
            one.channel().name for one in config.instruments if one.bench == bench
        )
        for bench in forwarded_benches(config)
    }


def forwarders_for(
    config: Config,
    store: Store,
    clock: Clock,
    stored: Tally,
    states: Callable[[], Mapping[str, InstrumentState]],
) -> list[Forwarder]:
    """Return a forwarder for each bench that sends its readings.

    `stored` counts what the store has, `states` tells how each instrument does.
    """
    forwarders = []
    for bench in forwarded_benches(config):
        names = [one.name for one in config.instruments if one.bench == bench]
        channels = [one.channel() for one in config.instruments if one.bench == bench]
        links = _Links(clock, states, names)
        at_hand = BenchAtHand(
            bench, channels, lambda: stored.stored, lambda: stored.steps, links, version("pourkeep")
        )
        if config.mqtt is not None:
            forwarders.append(
                Forwarder(config.mqtt, at_hand, Outbox(store, target_of(bench)), clock)
            )
    return forwarders


class _Links:
    """How the instruments of a bench do, as the hub is told."""

    def __init__(
        self,
        clock: Clock,
        states: Callable[[], Mapping[str, InstrumentState]],
        names: Iterable[str],
    ) -> None:
        self._clock = clock
        self._states = states
        self._names = tuple(names)

    def __call__(self) -> tuple[InstrumentLink, ...]:
        now_us, states = self._clock.now_us(), self._states()
        return tuple(InstrumentLink.of(states[name].at(now_us)) for name in self._names)
